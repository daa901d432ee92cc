import { afterAll, beforeAll, expect, test } from 'vitest';
import { whitethreadError } from '../../src/core/base/errors.ts';
import { keepWeather } from '../../src/service/keptWeather.ts';
import { passRecord } from '../../src/service/passRecord.ts';
import type { LiveSource } from '../../src/sources/live/contract.ts';
import { added, emptyFarm, keeperOf, plainField, posted, serviceAt } from '../support/farmService.ts';
import { type WeatherWorld, weatherWorld } from '../support/weatherWorld.ts';

let world: WeatherWorld;
beforeAll(async () => {
  world = await weatherWorld('2026-06-15T15:00:00Z');
});
afterAll(() => world.stub.close());

test('while the source of a station is down its rows of the record say so: no forecast stands in, and no other station', async () => {
  const power: LiveSource = {
    ...(world.sources.power as LiveSource),
    fetchWeather: async () => {
      throw whitethreadError([{ code: 'source-unavailable', where: 'power', given: 'silence', allowed: 'an answer' }]);
    },
  };
  const deps = await serviceAt('', { sources: { ...world.sources, power }, nowMs: world.clock.nowMs });
  const farmId = await emptyFarm(deps);
  const place = { latitudeDeg: 41.7, longitudeDeg: -93 };
  await added(deps, farmId, 'station', { name: 'Asked', ...place, observed: 'power', forecast: 'global' });
  const other = await added(deps, farmId, 'station', { name: 'Posted', ...place, latitudeDeg: 41.8 });
  const column = (value: number) => Array.from({ length: 530 }, () => value);
  const series = { startDate: '2025-01-01', tempMaxC: column(12), tempMinC: column(2), rainMm: column(0) };
  await keepWeather(deps, keeperOf(farmId), farmId, other, posted(series), { add: false, version: null });
  const fieldId = await added(deps, farmId, 'field', plainField);
  for (const date of ['2026-05-10', '2026-06-11'])
    await added(deps, farmId, 'pass', { fieldId, date, implement: 'rotary-hoe' });
  const row = { tempMaxC: null, weedsExpected: null, unknown: 'power: given silence; allowed an answer' };
  expect(await passRecord(deps, keeperOf(farmId), farmId, {})).toMatchObject([row, row]);
});
