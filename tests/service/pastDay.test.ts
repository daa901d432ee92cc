import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { dayNumber, isoDate } from '../../src/core/base/day.ts';
import type { DailyWeather } from '../../src/core/weather/schema.ts';
import { exampleField } from '../../src/http/examples/outlook.ts';
import { keepWeather } from '../../src/service/keptWeather.ts';
import { sourcedRequest } from '../../src/service/schema.ts';
import { sourcedField } from '../../src/service/sourced.ts';
import { storedField } from '../../src/service/tomorrow.ts';
import { added, emptyFarm, keeperOf, plainField, posted, serviceAt } from '../support/farmService.ts';
import { weatherOf } from '../support/weatherShapes.ts';
import { well } from '../support/weatherStub.ts';
import { ames, type WeatherWorld, weatherWorld } from '../support/weatherWorld.ts';

/** Days that are over, of which the forecast still tells what its models saw, and of which it tells nothing. */
const past = ['2026-05-20', '2025-05-20'];
/** What tells the two apart. */
const OFF_C = 10;

let world: WeatherWorld;
beforeAll(async () => {
  world = await weatherWorld('2026-06-15T15:00:00Z');
  world.stub.mood = (response, body, request) => {
    const { daily } = structuredClone(body) as { daily?: { temperature_2m_max: number[] } };
    const isForecast = request.url?.startsWith('/v1/forecast') && daily !== undefined;
    const warmer = daily?.temperature_2m_max.map((max) => max + OFF_C);
    const told = isForecast ? { ...(body as object), daily: { ...daily, temperature_2m_max: warmer } } : body;
    well()(response, told, request);
  };
});
afterAll(() => world.stub.close());

const observed = ({ startDate, tempMaxC }: DailyWeather) =>
  tempMaxC.map((_, i) => weatherOf(isoDate(dayNumber(startDate) + i)).maxC);
const ahead = (on: string) => isoDate(dayNumber(on) + 15);
const lastOf = ({ startDate, tempMaxC }: DailyWeather) => isoDate(dayNumber(startDate) + tempMaxC.length - 1);

/** A stored field under a station with a forecast. */
const stored = async (station: object, weather?: DailyWeather) => {
  const deps = await serviceAt('', { sources: world.sources, nowMs: world.clock.nowMs });
  const farmId = await emptyFarm(deps);
  const who = keeperOf(farmId);
  const place = { name: 'Yard', latitudeDeg: 41.7, longitudeDeg: -93 };
  const stationId = await added(deps, farmId, 'station', { ...place, ...station });
  if (weather !== undefined)
    await keepWeather(deps, who, farmId, stationId, posted(weather), { add: false, version: null });
  const fieldId = await added(deps, farmId, 'field', plainField);
  return (on: string) => storedField(deps, who, farmId, fieldId, { on, days: 3 });
};

const days = (from: string, to: string): DailyWeather => {
  const dates = Array.from({ length: dayNumber(to) - dayNumber(from) + 1 }, (_, i) => isoDate(dayNumber(from) + i));
  const of = (name: 'maxC' | 'minC' | 'rainMm') => dates.map((date) => weatherOf(date)[name]);
  return { startDate: from, tempMaxC: of('maxC'), tempMinC: of('minC'), rainMm: of('rainMm') };
};

describe.each(['global', 'us-grid'])('a day of the past, with the forecast of %s', (forecast) => {
  test.each(past)('%s has what was observed before and after it', async (on) => {
    const asked = await stored({ observed: 'power', forecast });
    const sent = await stored({ observed: 'posted', forecast }, days('2025-01-01', '2026-06-14'));
    for (const { answer, notes, credits } of [await asked(on), await sent(on)]) {
      expect(answer.weather.tempMaxC).toEqual(observed(answer.weather));
      expect(lastOf(answer.weather)).toBe(ahead(on));
      expect(answer.weather.forecastFrom).toBe(on);
      expect(notes).toEqual([]);
      expect(credits.map(({ source }) => source).join()).not.toMatch(/forecast/i);
    }
  });

  test.each(past)('%s of a field that names its sources has that too', async (on) => {
    const { weather: _, planting: __, ...bare } = exampleField;
    const request = { ...bare, site: ames, today: on, weatherFrom: { observed: 'power', forecast } };
    const { answer, notes } = await sourcedField({ sources: world.sources }, sourcedRequest.parse(request));
    expect(answer.weather.tempMaxC).toEqual(observed(answer.weather));
    expect([lastOf(answer.weather), answer.weather.forecastFrom, notes]).toEqual([ahead(on), on, []]);
  });
});

test('a few days ago has what was observed since, and what is forecast from today on', async () => {
  const { answer, notes } = await (await stored({ observed: 'power', forecast: 'global' }))('2026-06-10');
  const { tempMaxC } = answer.weather;
  const until = dayNumber('2026-06-15') - dayNumber(answer.weather.startDate);
  const told = observed(answer.weather).map((max, i) => (i < until ? max : max + OFF_C));
  expect(tempMaxC).toEqual(told);
  expect([lastOf(answer.weather), answer.weather.forecastFrom, notes]).toEqual(['2026-06-25', '2026-06-10', []]);
});
