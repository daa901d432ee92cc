import { parse } from 'csv-parse/sync';
import { expect, test } from 'vitest';
import { shownOutlook } from '../../src/service/schema.ts';
import { captured } from './capture.ts';

const answer = shownOutlook.parse(JSON.parse(captured('outlook', '--field', 'Heron Bottom', '--json').out));

test('the text has soil, weeds, deadlines, flushes, crop, windows and cautions', () => {
  const { code, out } = captured('outlook', '--field', 'Heron Bottom');
  expect(code).toBe(0);
  for (const part of ['Soil', 'Weeds', 'Kill before it sets seed', 'Flushes', 'Crop', 'Windows', 'Cautions'])
    expect(out).toMatch(new RegExp(`^${part}`, 'm'));
  expect(out).toMatch(/White thread from \d+ \w+ \(\d+/);
  expect(out.replace(/\s+/g, ' ')).toMatch(/Mean of the last seven days at 5 cm: [\d.]+ C/);
  for (const { commonName } of answer.emergence) expect(out).toContain(commonName);
});

test('JSON is the outlook’s schema, with hours in local time; the field asked for is the field given', () => {
  expect(answer.name).toBe('Heron Bottom');
  expect(answer.crop?.crop).toBe('field-corn');
});

test('CSV: one row a day, the same soil temperatures and emergence as JSON', () => {
  const rows = parse(captured('outlook', '--field', 'Heron Bottom', '--format', 'csv').out, {
    columns: true,
  }) as Record<string, string>[];
  expect(rows).toHaveLength(answer.soil.temp5MeanC.length);
  expect(rows[0]?.date).toBe(answer.soil.startDate);
  const last = rows.length - 1;
  expect(Number(rows[last]?.temp5MeanC)).toBeCloseTo(answer.soil.temp5MeanC[last] as number, 3);
  const [weed] = answer.emergence;
  expect(Number(rows[last]?.[`emergedFrac ${weed?.species}`])).toBeCloseTo(weed?.emergedFrac[last] as number, 3);
});

test('US units: soil in F, snow in inches', () => {
  const { soil } = JSON.parse(captured('outlook', '--field', 'Heron Bottom', '--json', '--units', 'us').out);
  expect(soil).not.toHaveProperty('temp5MeanC');
  expect(soil.temp5MeanF[100]).toBeCloseTo((answer.soil.temp5MeanC[100] as number) * 1.8 + 32, 3);
  expect(soil.snowIn).toHaveLength(answer.soil.snowMm.length);
});

test('a field that the farm does not have is wrong input, with the names it has', () => {
  const { code, err } = captured('outlook', '--field', 'Nowhere');
  expect(code).toBe(1);
  expect(err).toMatch(/Gate Field, Long Strip/);
});

test('bare ground: no crop is said, and no error', () => {
  const { code, out } = captured('outlook', '--field', 'Quarry Bench');
  expect(code).toBe(0);
  expect(out).toContain('no crop in the ground');
});
