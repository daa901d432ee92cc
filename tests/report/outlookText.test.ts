import { expect, test } from 'vitest';
import { loadCatalogue } from '../../src/catalogue/load.ts';
import { dayNumber } from '../../src/core/base/day.ts';
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

test('the soil table says what keeps a shallow tool out: rain or snow over dry soil is not called wet', () => {
  const told = shownOutlook(outlook(benchField(135, 14), catalogue), 'UTC');
  const today = dayNumber(told.today) - dayNumber(told.soil.startDate);
  const unworkableBy = [...told.soil.unworkableBy];
  unworkableBy.splice(today, 4, 'rain-that-day', 'snow-lies', 'soil-frozen', null);
  const farm = { name: 'made up', invented: true, timeZone: 'UTC', today: told.today, remarks: [], fields: [] };
  const lines = outlookText({ ...told, soil: { ...told.soil, unworkableBy } }, farm, 'metric').split('\n');
  const from = lines.findIndex((line) => line.startsWith('  Fri 16 May'));
  const of = lines.slice(from, from + 4).map((line) => line.match(/rain that day|snow lies|soil frozen|yes|wet/)?.[0]);
  expect(of).toEqual(['rain that day', 'snow lies', 'soil frozen', 'yes']);
});

test('the columns of the windows are explained, and what best means where a crew is asked for', () => {
  const told = shownOutlook(outlook(benchField(135, 14), catalogue), 'UTC');
  const farm = { name: 'made up', invented: true, timeZone: 'UTC', today: told.today, remarks: [], fields: [] };
  const textWith = (windowDays: typeof told.windowDays) =>
    outlookText({ ...told, windowDays }, farm, 'metric').replaceAll(/\s+/g, ' ');
  const machines = told.windowDays.filter(({ implement }) => implement !== 'hand-crew');
  expect(textWith(machines)).toContain('kill: share of the living weeds that the pass is expected to kill; left: ');
  expect(textWith(machines)).not.toContain('a crew kills nearly everything');
  const [day] = machines;
  if (day === undefined) throw new Error('no windows');
  expect(textWith([...machines, { ...day, implement: 'hand-crew' }])).toContain('a crew kills nearly everything');
});
