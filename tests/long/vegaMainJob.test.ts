import { readFileSync } from 'node:fs';
import { parse } from 'csv-parse/sync';
import { describe, expect, test } from 'vitest';
import { outlook } from '../../src/core/outlook/outlook.ts';
import { allImplements, allSpecies, catalogue } from '../core/outlook/fields.ts';
import { expectLawful, expectWhole } from '../core/outlook/lawful.ts';

/** Daily weather of two cities, 2012-2015: NOAA National Climatic Data Center, as the npm package vega-datasets carries it. */
type Row = { location: string; date: string; precipitation: string; temp_max: string; temp_min: string };
const path = new URL('../../node_modules/vega-datasets/data/weather.csv', import.meta.url);
const rows: Row[] = parse(readFileSync(path), { columns: true });

const sites = {
  'New York': { latitudeDeg: 40.7, longitudeDeg: -74, elevationM: 40, timeZone: 'America/New_York' },
  Seattle: { latitudeDeg: 47.6, longitudeDeg: -122.3, elevationM: 50, timeZone: 'America/Los_Angeles' },
};
/** Spring crops are sown in 2014; autumn crops the autumn before. */
const sowing = (sownIn: 'spring' | 'autumn'): string => (sownIn === 'spring' ? '2014-05-01' : '2013-09-25');
const todays = ['2014-03-15', '2014-05-03', '2014-05-20', '2014-06-25', '2014-10-05'];

describe.each(Object.entries(sites))('%s, 2012-2015 through the whole outlook', (location, site) => {
  const own = rows.filter((row) => row.location === location);
  const weather = {
    startDate: own[0]?.date ?? '',
    tempMaxC: own.map((row) => Number(row.temp_max)),
    tempMinC: own.map((row) => Number(row.temp_min)),
    rainMm: own.map((row) => Number(row.precipitation)),
  };

  test('1,461 days without a gap', () => expect(own).toHaveLength(1461));

  test.each(catalogue.crops)('$id: every species and implement, five mornings, laws hold', ({ id, sownIn }) => {
    for (const today of todays) {
      const planting = { crop: id, date: sowing(sownIn) };
      const answer = outlook(
        {
          site,
          soil: { texture: 'silt-loam' },
          weather: { ...weather, forecastFrom: today },
          today,
          planting,
          weeds: allSpecies,
          implements: allImplements,
        },
        catalogue,
      );
      expect(answer.windowDays).toHaveLength(15 * allImplements.length);
      if (today === todays[2]) expectWhole(answer);
      else expectLawful(answer);
    }
  });
});
