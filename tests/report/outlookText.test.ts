import { expect, test } from 'vitest';
import { loadCatalogue } from '../../src/catalogue/load.ts';
import { outlook } from '../../src/core/outlook/outlook.ts';
import { outlookText } from '../../src/report/outlookText.ts';
import { shownOutlook } from '../../src/service/answer.ts';
import { benchField } from '../bench/field.ts';

const catalogue = loadCatalogue();
const textOf = (dayOfYear: number, farm = 'made up'): string => {
  const told = shownOutlook(outlook(benchField(dayOfYear, 14), catalogue), 'UTC');
  return outlookText(
    told,
    { name: farm, invented: true, timeZone: 'UTC', today: told.today, remarks: [], fields: [] },
    'metric',
  );
};
const deadlinesOf = (text: string): string[] => {
  const lines = text.split('\n');
  const from = lines.findIndex((line) => line.startsWith('Kill before it sets seed')) + 1;
  return lines.slice(from, lines.indexOf('', from));
};

test('a deadline says that it is past once its last day is', () => {
  const spring = deadlinesOf(textOf(135));
  const autumn = deadlinesOf(textOf(330));
  const waterhemp = (lines: readonly string[]) => lines.find((line) => line.includes('waterhemp'));
  expect(spring).toHaveLength(12);
  expect(waterhemp(spring)).not.toContain('past');
  expect(waterhemp(autumn)).toMatch(/\), past$/);
});

test('the head has the names of farm and field, and of a field without a farm its name once', () => {
  expect(textOf(135)).toMatch(/^made up, bench, Fri 16 May 2025/m);
  expect(textOf(135, 'bench')).toMatch(/^bench, Fri 16 May 2025/m);
});
