import { expect, test } from 'vitest';
import { vegaWeather } from '../weather/samples.ts';
import { allImplements, allSpecies, asOf, outlookOf } from './fields.ts';
import { expectWhole } from './lawful.ts';

test('New York 2012 to 2015 as observed (vega-datasets): corn, all species and implements, no gap, no NaN', () => {
  const today = '2014-05-25';
  const answer = outlookOf({
    site: { latitudeDeg: 40.7, longitudeDeg: -74, elevationM: 10, timeZone: 'America/New_York' },
    weather: asOf(vegaWeather('New York'), today),
    today,
    weeds: allSpecies,
    implements: allImplements,
    planting: { crop: 'field-corn', date: '2014-05-08' },
    seedbedDates: ['2014-05-08'],
  });
  expectWhole(answer);
  expect(answer.emergence.filter(({ p50 }) => p50 !== null).length).toBeGreaterThan(30);
});
