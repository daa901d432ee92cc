import { expect, test } from 'vitest';
import { MOST_BYTES } from '../../src/sources/text.ts';
import { weatherFiles } from '../../src/sources/weatherFile.ts';

test('a CSV just under 30 MB, about a million rows of 50 stations: every row is read, in under two minutes', () => {
  const lines = ['station,date,tmax_c,tmin_c,rain_mm'];
  let size = (lines[0] as string).length;
  for (let row = 0; ; row++) {
    const date = new Date((row % 21_000) * 86_400_000).toISOString().slice(0, 10);
    const line = `S${Math.floor(row / 21_000)},${date},${20 + (row % 10) / 10},${10 + (row % 7)},${(row % 13) / 10}`;
    size += line.length + 1;
    if (size >= MOST_BYTES) break;
    lines.push(line);
  }
  const rows = lines.length - 1;
  const bytes = new TextEncoder().encode(lines.join('\n'));
  expect(bytes.length).toBeGreaterThan(MOST_BYTES - 100);
  lines.length = 0;
  const start = performance.now();
  const files = weatherFiles(bytes);
  expect(performance.now() - start).toBeLessThan(120_000);
  expect(files.reduce((sum, { weather }) => sum + weather.tempMaxC.length, 0)).toBe(rows);
});
