import { describe, expect, test } from 'vitest';
import { soilDays } from '../../src/core/soil/soil.ts';
import { weatherDays } from '../../src/core/weather/weather.ts';
import { weedDays } from '../../src/core/weeds/weeds.ts';
import { allImplements, allSpecies, asOf, catalogue, outlookOf } from '../core/outlook/fields.ts';
import { expectWhole } from '../core/outlook/lawful.ts';
import { ground } from '../core/soil/made.ts';
import { vegaWeather } from '../core/weather/samples.ts';

/** Observed daily weather 2012 to 2015 that the npm registry carries (package vega-datasets; NOAA, US Government). */
const places = [
  ['New York', { latitudeDeg: 40.7, longitudeDeg: -74, elevationM: 10, timeZone: 'America/New_York' }],
  ['Seattle', { latitudeDeg: 47.6, longitudeDeg: -122.3, elevationM: 50, timeZone: 'America/Los_Angeles' }],
] as const;
const todays = ['2012-04-15', '2013-05-20', '2014-06-25', '2015-09-10'];

describe.each(places)('the main job on the observed weather of %s, 2012 to 2015', (name, site) => {
  const weather = vegaWeather(name);

  test.each(catalogue.crops.map(({ id, sownIn }) => [id, sownIn] as const))(
    '%s with all species and implements, four days: no gap, no NaN, laws kept',
    (crop, sownIn) => {
      for (const today of todays) {
        const year = Number(today.slice(0, 4));
        const date = sownIn === 'spring' ? `${year}-04-10` : year === 2012 ? '2012-01-05' : `${year - 1}-09-25`;
        const answer = outlookOf({
          site,
          weather: asOf(weather, today),
          today,
          weeds: allSpecies,
          implements: allImplements,
          planting: { crop, date },
          seedbedDates: [date],
          passes: [{ date: `${year}-05-02`, implement: 'rotary-hoe' }],
        });
        expectWhole(answer);
        expect(answer.soil.weatherOrigin).not.toContain('climatology');
        expect(answer.windowDays).toHaveLength(15 * allImplements.length);
      }
    },
  );

  test('every morning of the four years: what lives and what is dead is what has germinated, and no emergence falls', () => {
    const { series } = weatherDays(weather, site);
    const soil = soilDays(series, site, ground('silt-loam'), new Float64Array(series.days), []);
    for (const one of weedDays(soil, series, catalogue.species, [], false).species)
      for (let i = 0; i < series.days; i++) {
        const living = one.stockFrac.reduce((sum, stage) => sum + (stage[i] as number), 0);
        expect(Math.abs(living + (one.deadFrac[i] as number) - (one.germinatedFrac[i] as number))).toBeLessThan(1e-9);
        if (i > 0) expect(one.potentialFrac[i]).toBeGreaterThanOrEqual(one.potentialFrac[i - 1] as number);
        expect(one.emergedFrac[i]).toBeLessThanOrEqual((one.potentialFrac[i] as number) + 1e-12);
        expect(one.potentialFrac[i]).toBeLessThanOrEqual((one.germinatedFrac[i] as number) + 1e-12);
      }
  });
});
