import { expect, test } from 'vitest';
import { usWeatherCsv } from '../../src/report/weatherCsv.ts';

test('what came in degrees Fahrenheit and inches goes out as it came; what is missing stays missing', () => {
  const weather = {
    startDate: '2026-05-01',
    tempMaxC: [((33.4 - 32) * 5) / 9, null],
    tempMinC: [-12.3, 0],
    rainMm: [0.12 * 25.4, 0],
  };
  expect(usWeatherCsv(weather)).toBe('date,tempMaxF,tempMinF,rainIn\n2026-05-01,33.4,9.86,0.12\n2026-05-02,,32,0');
});
