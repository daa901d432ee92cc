import { afterAll, beforeAll, expect, test } from 'vitest';
import { passRecord } from '../../src/service/passRecord.ts';
import { added, emptyFarm, keeperOf, plainField, serviceAt } from '../support/farmService.ts';
import { type WeatherWorld, weatherWorld } from '../support/weatherWorld.ts';

let world: WeatherWorld;
beforeAll(async () => {
  world = await weatherWorld('2026-06-15T15:00:00Z');
});
afterAll(() => world.stub.close());

test.each([
  ['of which the source has nothing', '1926-05-07', null, /^weather source power: .* allowed 1981-01-01 to yesterday/],
  ['which the source knows', '1995-05-07', expect.any(Number), null],
])(
  'a pass of a wrong date, %s, costs at most its own row, and its years are asked for alone',
  async (_, wrong, tempMaxC, why) => {
    const deps = await serviceAt('', { sources: world.sources, nowMs: world.clock.nowMs });
    const farmId = await emptyFarm(deps);
    const place = { name: 'Yard', latitudeDeg: 41.7, longitudeDeg: -93, observed: 'power', forecast: 'global' };
    await added(deps, farmId, 'station', place);
    const fieldId = await added(deps, farmId, 'field', plainField);
    const dates = [wrong, '2025-05-07', '2026-05-07'];
    for (const date of dates) await added(deps, farmId, 'pass', { fieldId, date, implement: 'rotary-hoe' });
    world.stub.hits.length = 0;
    const [odd, ...others] = await passRecord(deps, keeperOf(farmId), farmId, {});
    expect(others).toMatchObject(
      dates.slice(1).map((date) => ({
        date,
        tempMaxC: expect.any(Number),
        weedsExpected: expect.any(String),
        unknown: null,
      })),
    );
    expect(odd).toMatchObject({ date: wrong, tempMaxC, unknown: why === null ? null : expect.stringMatching(why) });
    const asked = world.stub.hits.flatMap(
      ({ path }) => /start=(\d{4})\d+&end=(\d{4})/.exec(path)?.slice(1, 3).join() ?? [],
    );
    expect(asked.sort()).toEqual([...(why === null ? ['1994,1995'] : []), '2024,2026']);
  },
);
