import { describe, expect, it } from 'vitest';
import { soilParameters } from '../../src/core/soil/parameters.ts';
import { vapourFromHumidityKPa } from '../../src/core/soil/surface.ts';
import { hydraulics } from '../../src/core/soil/texture.ts';
import { layerLimits, waterDay, wetProfile } from '../../src/core/soil/water.ts';
import {
  clearSkyMjPerM2,
  dayLengthH,
  declinationRad,
  extraterrestrialMjPerM2,
  inverseDistance,
  solarFromRangeMjPerM2,
  sunsetAngleRad,
} from '../../src/core/weather/daylight.ts';
import {
  hargreavesMm,
  netLongwaveMjPerM2,
  penmanMonteithMm,
  pressureKPa,
  psychrometric,
  saturationKPa,
  saturationSlope,
  windAt2M,
} from '../../src/core/weather/evaporation.ts';

/**
 * Worked examples of Allen, Pereira, Raes & Smith 1998, FAO Irrigation and Drainage Paper 56. Printed values hold to their
 * last digit; where the paper went on with rounded steps the tolerance is said.
 */
const printed = (value: number, text: string): void => {
  const digits = text.split('.')[1]?.length ?? 0;
  // Half a unit of the last digit, a little wider because halves round either way.
  expect(Math.abs(value - Number(text))).toBeLessThanOrEqual(0.501 * 10 ** -digits);
};
const saturationOf = (max: number, min: number) => (saturationKPa(max) + saturationKPa(min)) / 2;
/** FAO-56 eq. 35; the product has no sunshine hours, so it stands here. */
const solarFromSunshine = (hours: number, dayLength: number, top: number) => (0.25 + (0.5 * hours) / dayLength) * top;

describe('FAO-56, vapour and air', () => {
  it('81.8 kPa and 0.054 kPa/C at 1800 m, example 2', () => {
    printed(pressureKPa(1800), '81.8');
    printed(psychrometric(pressureKPa(1800)), '0.054');
  });
  it('es 2.39 kPa at 24.5 and 15 C, example 3', () => printed(saturationOf(24.5, 15), '2.39'));
  it('ea 1.78 kPa at 25 and 18 C, mean humidity 68 %, example 5', () => {
    printed(vapourFromHumidityKPa(25, 18, 0.68), '1.78');
  });
  it('2.4 m/s at 2 m from 3.2 m/s at 10 m, example 14', () => printed(windAt2M(3.2, 10), '2.4'));
});

describe('FAO-56, daylight at 20 S on 3 September (day 246)', () => {
  const declination = declinationRad(246);
  it('dr 0.985, declination 0.120 rad, sunset angle 1.527 rad, Ra 32.2 MJ/m2, example 8', () => {
    printed(inverseDistance(246), '0.985');
    printed(declination, '0.120');
    printed(sunsetAngleRad(-20, declination), '1.527');
    printed(extraterrestrialMjPerM2(-20, 246), '32.2');
  });
  it('N 11.7 h, example 9', () => printed(dayLengthH(sunsetAngleRad(-20, declination)), '11.7'));
});

describe('FAO-56, Lyon in July (45 43 N, day 196, 26.6 and 14.8 C)', () => {
  const top = extraterrestrialMjPerM2(45 + 43 / 60, 196);
  it('Ra 40.6 and, from the temperature range, Rs 22.3 MJ/m2, example 15', () => {
    printed(top, '40.6');
    printed(solarFromRangeMjPerM2(top, clearSkyMjPerM2(top, 200), 26.6 - 14.8, 0.16), '22.3');
  });
  it('ea 1.68 kPa from the lowest temperature and ET0 5.0 mm by Hargreaves, example 20', () => {
    printed(saturationKPa(14.8), '1.68');
    printed(hargreavesMm(26.6, 14.8, top), '5.0');
  });
});

describe('FAO-56, Bangkok in April (13 44 N, day 105, 34.8 and 25.6 C), example 17', () => {
  const top = extraterrestrialMjPerM2(13 + 44 / 60, 105);
  const clear = clearSkyMjPerM2(top, 2);
  const dayLength = dayLengthH(sunsetAngleRad(13 + 44 / 60, declinationRad(105)));
  const solar = solarFromSunshine(8.5, dayLength, top);
  const net = 0.77 * solar - netLongwaveMjPerM2(34.8, 25.6, 2.85, solar, clear);
  const gamma = psychrometric(pressureKPa(2));
  it('es 4.42 kPa, slope 0.246 kPa/C, gamma 0.0674 kPa/C', () => {
    printed(saturationOf(34.8, 25.6), '4.42');
    printed(saturationSlope(30.2), '0.246');
    // The paper takes the pressure as printed, 101.3 kPa.
    printed(pressureKPa(2), '101.3');
    printed(psychrometric(101.3), '0.0674');
  });
  it('Rn 14.33 MJ/m2 and ET0 5.72 mm with G 0.14', () => {
    printed(net, '14.33');
    printed(penmanMonteithMm(34.8, 25.6, net - 0.14, 2.85, 2, gamma), '5.72');
  });
});

describe('FAO-56, Uccle on 6 July (50.80 N, 100 m, day 187, 21.5 and 12.3 C), example 18', () => {
  const top = extraterrestrialMjPerM2(50.8, 187);
  const clear = clearSkyMjPerM2(top, 100);
  const dayLength = dayLengthH(sunsetAngleRad(50.8, declinationRad(187)));
  const solar = solarFromSunshine(9.25, dayLength, top);
  const wind = windAt2M(10 / 3.6, 10);
  const net = 0.77 * solar - netLongwaveMjPerM2(21.5, 12.3, 1.409, solar, clear);
  const gamma = psychrometric(pressureKPa(100));
  it('wind 2.078 m/s, es 1.997 kPa, slope 0.122, gamma 0.0666 kPa/C', () => {
    printed(wind, '2.078');
    printed(saturationOf(21.5, 12.3), '1.997');
    printed(saturationSlope(16.9), '0.122');
    printed(gamma, '0.0666');
  });
  it('Ra 41.09, N 16.1 h, Rs 22.07, Rso 30.90, Rn 13.28 MJ/m2', () => {
    printed(top, '41.09');
    printed(dayLength, '16.1');
    printed(solar, '22.07');
    printed(clear, '30.90');
    printed(net, '13.28');
  });
  it('ET0 3.88 mm', () => printed(penmanMonteithMm(21.5, 12.3, net, 1.409, wind, gamma), '3.88'));
});

/** A day of FAO-56 example 35 as printed: rain or irrigation over the wetted part, depletion and coefficients. */
const example35 = [
  // ET0, rain, I/fw, few, Kcb | Kr, Ke, De end, E, ETc
  [4.5, 0, 50, 0.8, 0.3, 1, 0.91, 5, 4.1, 5.5],
  [5.0, 0, 0, 0.8, 0.31, 1, 0.9, 11, 4.5, 6.1],
  [3.9, 0, 0, 0.8, 0.32, 0.72, 0.64, 14, 2.5, 3.8],
  [4.2, 0, 0, 0.8, 0.33, 0.41, 0.36, 16, 1.5, 2.9],
  [4.8, 0, 0, 0.8, 0.34, 0.22, 0.19, 17, 0.9, 2.6],
  [2.7, 6, 0, 0.89, 0.36, 0.71, 0.6, 13, 1.6, 2.6],
  [5.8, 0, 0, 0.88, 0.37, 0.52, 0.44, 16, 2.6, 4.7],
  [5.1, 0, 0, 0.87, 0.38, 0.23, 0.19, 17, 1.0, 2.9],
  [4.7, 0, 0, 0.87, 0.39, 0.12, 0.1, 17, 0.5, 2.3],
  [5.2, 0, 0, 0.86, 0.4, 0.07, 0.05, 18, 0.3, 2.4],
] as const;

type Skin = { readonly totalMm: number; readonly readilyMm: number; readonly kcMax: number };

/** FAO-56 eqs. 71, 74, 77-79: the two-stage skin, written here as a reference; the product works in layers. */
const skinDay = (depletedMm: number, wateredMm: number, et0: number, kcb: number, few: number, skin: Skin) => {
  const start = Math.max(0, depletedMm - wateredMm);
  const kr = Math.min(1, Math.max(0, (skin.totalMm - start) / (skin.totalMm - skin.readilyMm)));
  const ke = Math.min(kr * (skin.kcMax - kcb), few * skin.kcMax);
  const evaporationMm = ke * et0;
  return { kr, ke, evaporationMm, depletedMm: Math.min(skin.totalMm, start + evaporationMm / few) };
};

describe('FAO-56 example 35, two-stage evaporation of a sandy loam (TEW 18, REW 8 mm)', () => {
  const skin = { totalMm: 18, readilyMm: 8, kcMax: 1.21 };
  let depletedMm = 18;
  const days = example35.map(([et0, rain, irrigation, few, kcb]) => {
    const day = skinDay(depletedMm, rain + irrigation, et0, kcb, few, skin);
    depletedMm = day.depletedMm;
    return { ...day, cropMm: (day.ke + kcb) * et0 };
  });
  it.each(days.map((day, i) => [i + 1, day] as const))(
    'day %i as printed: Kr to 0.015, Ke to 0.011, De to 0.7 mm, E and ETc to 0.11 mm (the table went on with rounded steps)',
    (number, day) => {
      const [, , , , , kr, ke, depleted, evaporation, crop] = example35[number - 1] as (typeof example35)[number];
      expect(Math.abs(day.kr - kr)).toBeLessThanOrEqual(0.015);
      expect(Math.abs(day.ke - ke)).toBeLessThanOrEqual(0.011);
      expect(Math.abs(day.depletedMm - depleted)).toBeLessThanOrEqual(0.7);
      expect(Math.abs(day.evaporationMm - evaporation)).toBeLessThanOrEqual(0.11);
      expect(Math.abs(day.cropMm - crop)).toBeLessThanOrEqual(0.11);
    },
  );
});

describe('the layers dry bare silt loam in the two stages of FAO-56 (TEW 25 mm, REW 9.2 mm), 5 mm a day', () => {
  const ET0 = 5;
  const silt = hydraulics(0.2, 0.15, 0.025);
  const limits = layerLimits(silt, 'moderate', soilParameters);
  const profile = wetProfile(limits);
  const day = { rainMm: 0, tempMeanC: 20, referenceEvaporationMm: ET0, cropCoverFrac: 0, coverFrac: 0, looseFrac: 0 };
  const full = soilParameters.water.evaporationFactor * ET0;
  const skin = { totalMm: 25, readilyMm: 8 + 0.08 * 15, kcMax: full / ET0 };
  const ours: number[] = [];
  const theirs: number[] = [];
  let depletedMm = 0;
  for (let i = 0; i < 20; i++) {
    waterDay(profile, limits, day, soilParameters);
    ours.push(profile.evaporationMm / full);
    const reference = skinDay(depletedMm, 0, ET0, 0, 1, skin);
    depletedMm = reference.depletedMm;
    theirs.push(reference.evaporationMm / full);
  }
  const sum = (values: readonly number[], days: number) => values.slice(0, days).reduce((a, b) => a + b, 0) * full;

  it('stage one: the first day evaporates the full rate, in both', () => {
    expect(ours[0]).toBeCloseTo(1, 10);
    expect(theirs[0]).toBe(1);
  });
  it('stage two: every day less than the one before, in both', () => {
    for (let i = 1; i < 20; i++) expect(ours[i]).toBeLessThan(ours[i - 1] as number);
    for (let i = 4; i < 20; i++) expect(theirs[i]).toBeLessThan(theirs[i - 1] as number);
  });
  it('ten days evaporate the same within 3 % (measured 24.4 and 24.1 mm)', () => {
    expect(sum(ours, 10) / sum(theirs, 10)).toBeGreaterThan(0.97);
    expect(sum(ours, 10) / sum(theirs, 10)).toBeLessThan(1.03);
  });
  it('not the same: the layers slow down two days earlier, a third at most, and go on longer, fed from below', () => {
    // Measured: 15.3 and 19.7 mm in five days; 0.35 and 0.08 of the full rate on day 10. Both were calibrated on observed
    // moisture at 5 cm, which a skin that empties does not match.
    expect(sum(ours, 5) / sum(theirs, 5)).toBeGreaterThan(0.67);
    expect(ours[9]).toBeLessThan(0.4);
    expect(ours[19]).toBeLessThan(0.25);
  });
});
