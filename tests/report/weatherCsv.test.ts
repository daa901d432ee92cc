import { expect, test } from 'vitest';
import { weatherCsv } from '../../src/report/weatherCsv.ts';

test('what came in degrees Fahrenheit and inches goes out without a tail of digits; what is missing stays missing', () => {
  const weather = {
    startDate: '2026-05-01',
    tempMaxC: [((33.4 - 32) * 5) / 9, null],
    tempMinC: [-12.3, 0],
    rainMm: [0.12 * 25.4, 0],
  };
  expect(weatherCsv(weather)).toBe('date,tmax_c,tmin_c,rain_mm\n2026-05-01,0.777778,-12.3,3.048\n2026-05-02,,0,0');
});
