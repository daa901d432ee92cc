import { expect, test } from 'vitest';
import { dayNumber } from '../../src/core/base/day.ts';
import { keepWeather } from '../../src/service/keptWeather.ts';
import { tomorrowOfFarm } from '../../src/service/tomorrow.ts';
import { added, emptyFarm, keeperOf, plainField, posted, serviceAt } from '../support/farmService.ts';

test('where the nearest station stopped, the next stands in for a field that names none, and the answer says so', async () => {
  const deps = await serviceAt('2026-05-20T17:00:00Z');
  const farmId = await emptyFarm(deps);
  const who = keeperOf(farmId);
  const station = async (name: string, latitudeDeg: number, end: string): Promise<string> => {
    const id = await added(deps, farmId, 'station', { name, latitudeDeg, longitudeDeg: -93 });
    const days = dayNumber(end) - dayNumber('2026-01-01') + 1;
    const column = (value: number) => Array.from({ length: days }, (_, i) => value + (i % 7) / 10);
    const weather = { startDate: '2026-01-01', tempMaxC: column(20), tempMinC: column(8), rainMm: column(0) };
    await keepWeather(deps, who, farmId, id, posted(weather), { add: false, version: null });
    return id;
  };
  const stopped = await station('Stopped', 41.7, '2026-05-01');
  await station('Whole', 41.8, '2026-05-30');
  await added(deps, farmId, 'field', plainField);
  await added(deps, farmId, 'field', { ...plainField, name: 'Named', stationId: stopped });
  const { answer } = await tomorrowOfFarm(deps, who, farmId, { days: 1 });
  expect(answer.fields.map(({ name, remarks }) => [name, remarks])).toEqual([
    ['Gate Field', ['Gate Field: its weather is that of Whole, as Stopped, which is nearer, has none of that day']],
  ]);
  // Who names a station means it.
  expect(answer.failed.map(({ name, problems }) => [name, problems[0]?.code])).toEqual([
    ['Named', 'weather-too-short'],
  ]);
});
