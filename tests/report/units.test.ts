import { expect, test } from 'vitest';
import { densityText, depthText, inUsUnits, percent, shown } from '../../src/report/units.ts';

test.each([
  [0, 'C', '32 F'],
  [100, 'C', '212 F'],
  [-40, 'C', '-40 F'],
  [25.4, 'mm', '1 in'],
  [2.54, 'cm', '1 in'],
  [0.44704, 'm/s', '1 mph'],
  [1.609344, 'km/h', '1 mph'],
  [40.468564224, 'ha', '100 ac'],
])('%f %s is %s (inch, mile and acre of 1959; 0 C = 32 F)', (value, unit, text) => {
  expect(shown(value, unit, 'us')).toBe(text);
});

test('metric keeps one decimal, and units without a US form stay', () => {
  expect(shown(8, 'mm', 'metric')).toBe('8 mm');
  expect(shown(2.54, 'cm', 'metric')).toBe('2.5 cm');
  expect(shown(0.312, 'm3/m3', 'us')).toBe('0.31 m3/m3');
  expect(shown(3, '', 'us')).toBe('3');
});

test('shares are per cent, leaves a leaf number, passes a bare number', () => {
  expect(percent(0.714)).toBe('71 %');
  expect(shown(0.333, '1', 'us')).toBe('33 %');
  expect(shown(0.64, 'leaves', 'metric')).toBe('leaf 0.6');
  expect(shown(2, 'passes', 'metric')).toBe('2');
});

test('depths inside a text: 2.5-7.5 cm is 1-3 in', () => {
  expect(depthText('2.5-7.5 cm', 'us')).toBe('1-3 in');
  expect(depthText('at 5 cm', 'us')).toBe('at 2 in');
  expect(depthText('2.5-7.5 cm', 'metric')).toBe('2.5-7.5 cm');
  expect(depthText('hook', 'us')).toBe('hook');
});

test('densities inside a text: 1/m2 is 0.0929/ft2 (foot of 1959, 0.3048 m), four digits of however few', () => {
  expect(densityText('2026-05-17 waterhemp 14.25/m2 cotyledon; 2026-05-19 waterhemp 100000/m2')).toBe(
    '2026-05-17 waterhemp 1.324/ft2 cotyledon; 2026-05-19 waterhemp 9290/ft2',
  );
  expect(densityText('waterhemp 0/m2; waterhemp 0.0002/m2; waterhemp 1e-7/m2')).toBe(
    'waterhemp 0/ft2; waterhemp 0.00001858/ft2; waterhemp 9.29e-9/ft2',
  );
  expect(inUsUnits({ weedsCounted: 'waterhemp 12/m2', note: '12/m2' })).toEqual({
    weedsCounted: 'waterhemp 1.115/ft2',
    note: '12/m2',
  });
  expect(inUsUnits({ weedsCounted: null })).toEqual({ weedsCounted: null });
});

test('names change with the unit, at every depth of the answer', () => {
  expect(
    inUsUnits({
      tempMaxC: 20,
      tempMinC: null,
      rainMm: 25.4,
      areaHa: 40.468564224,
      windMPerS: 0.44704,
      speedKmh: 1.609344,
      soil: { temp5MeanC: [0, 100], snowMm: [0, 50.8] },
      crops: [{ heightCm: 25.4 }],
    }),
  ).toEqual({
    tempMaxF: 68,
    tempMinF: null,
    rainIn: 1,
    areaAc: 100,
    windMph: 1,
    speedMph: 1,
    soil: { temp5MeanF: [32, 212], snowIn: [0, 2] },
    crops: [{ heightIn: 10 }],
  });
});

test('names that only look like a unit stay', () => {
  const answer = { waterM3PerM3: 0.3, surfacePotentialMPa: -0.1, killMeanFrac: 0.5, stage: 'under10Cm', Mm: 1, C: 2 };
  expect(inUsUnits(answer)).toEqual(answer);
});

test('a reason carries its unit beside it', () => {
  expect(inUsUnits({ reason: 'rain-next-day', given: 25.4, limit: 2.54, unit: 'mm' })).toEqual({
    reason: 'rain-next-day',
    given: 1,
    limit: 0.1,
    unit: 'in',
  });
  const inWater = { reason: 'soil-too-wet', given: 0.31, limit: 0.27, unit: 'm3/m3', detail: '2.5-7.5 cm' };
  expect(inUsUnits(inWater)).toEqual({ ...inWater, detail: '1-3 in' });
});
