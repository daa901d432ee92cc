import { dayOfYear } from '../../../src/core/base/day.ts';
import { emptySoilDays, type SoilDays } from '../../../src/core/soil/days.ts';
import type { WeatherDays } from '../../../src/core/weather/series.ts';
import type { WeedPass } from '../../../src/core/weeds/days.ts';
import type { KillProfile, Species } from '../../../src/core/weeds/schema.ts';

/** A smooth year, coldest around 20 January in the north. */
const yearlyC = (day: number, meanC: number, southern: boolean): number =>
  meanC - 14 * Math.cos((2 * Math.PI * (dayOfYear(day) - 20 + (southern ? 182.5 : 0))) / 365.25);

export type Climate = {
  readonly meanC?: number;
  readonly southern?: boolean;
  /** Whether the top 7.5 cm are dry on a day. */
  readonly dry?: (day: number) => boolean;
};

/** An invented soil: a yearly and a daily wave, and layers that are moist or dry. */
export const syntheticSoil = (startDay: number, days: number, climate: Climate = {}): SoilDays => {
  const soil = emptySoilDays(startDay, days, 6);
  for (let i = 0; i < days; i++) {
    const mean = yearlyC(startDay + i, climate.meanC ?? 11, climate.southern ?? false);
    for (let h = 0; h < 24; h++)
      soil.seedZoneTempC[24 * i + h] = mean + 5 * Math.cos((2 * Math.PI * (h + 0.5 - 14)) / 24);
    const dry = climate.dry?.(startDay + i) ?? false;
    soil.surfacePotentialMPa[i] = dry ? -5 : -0.05;
    soil.seedbedPotentialMPa[i] = dry ? -3 : -0.05;
  }
  return soil;
};

export const syntheticWeather = (startDay: number, days: number, climate: Climate = {}): WeatherDays => {
  const means = Float64Array.from({ length: days }, (_, i) =>
    yearlyC(startDay + i, (climate.meanC ?? 11) - 1, climate.southern ?? false),
  );
  const none = new Float64Array(days).fill(Number.NaN);
  return {
    startDay,
    days,
    tempMaxC: means.map((t) => t + 6),
    tempMinC: means.map((t) => t - 6),
    rainMm: new Float64Array(days),
    solarMjPerM2: none,
    windMPerS: none,
    humidityFrac: none,
    origin: new Uint8Array(days),
    rainFilled: new Uint8Array(days),
  };
};

/** An invented small-seeded summer annual. */
export const annual: Species = {
  id: 'test-annual',
  commonName: 'test annual',
  latinName: 'Herba ficta',
  lifeForm: 'summerAnnual',
  group: 'broadleaf',
  seedSize: 'small',
  germination: {
    baseTempC: 8,
    optimumTempC: 33,
    basePotentialMPa: -0.6,
    surfaceShareFrac: 0.6,
    components: [{ season: 'spring', shareFrac: 1, start: '03-01', lagCd: 80, scaleCd: 250, shape: 1.5 }],
  },
  elongation: { baseTempC: 9, lagCd: 20, perCmCd: 10, depthCm: 1 },
  leaf: { baseTempC: 6, perLeafCd: 25 },
  height: { to5CmCd: 150, to10CmCd: 220, to15CmCd: 260 },
  seedSet: { firstFlower: '07-05', leastDaysFromEmergence: 40, daysToViableSeed: 18 },
  seedsPerPlant: 10_000,
  seedSurvivalFrac: 0.5,
  competitiveIndex: 5,
  stirFactor: 1,
  uncertaintyDays: { p10: 7, p50: 8, p90: 12, elsewhere: 11 },
};

export const winterAnnual: Species = {
  ...annual,
  id: 'test-winter',
  lifeForm: 'winterAnnual',
  germination: {
    baseTempC: 2,
    optimumTempC: 20,
    basePotentialMPa: null,
    surfaceShareFrac: 0.5,
    components: [
      { season: 'spring', shareFrac: 0.3, start: '02-15', lagCd: 30, scaleCd: 250, shape: 1.3 },
      { season: 'autumn', shareFrac: 0.7, start: '08-01', lagCd: 150, scaleCd: 700, shape: 3 },
    ],
  },
  elongation: { baseTempC: 3, lagCd: 20, perCmCd: 10, depthCm: 0.5 },
  seedSet: { firstFlower: '04-10', leastDaysFromEmergence: 40, daysToViableSeed: 20 },
};

export const perennial: Species = {
  ...annual,
  id: 'test-perennial',
  lifeForm: 'perennialShoot',
  germination: {
    baseTempC: 0,
    optimumTempC: 30,
    basePotentialMPa: null,
    surfaceShareFrac: 0,
    components: [{ season: 'spring', shareFrac: 1, start: '04-01', lagCd: 100, scaleCd: 400, shape: 3 }],
  },
  elongation: { baseTempC: 4, lagCd: 20, perCmCd: 10, depthCm: 6 },
  height: null,
};

type Kill = { low: number; mean: number; high: number };
const alike = (kill: Kill) => ({
  whiteThread: kill,
  cotyledon: kill,
  leaf1To2: kill,
  leaf3To4: kill,
  under10Cm: kill,
  from10To15Cm: kill,
  over15Cm: kill,
});

/** An invented tool that kills every stage alike over the whole ground. */
export const evenKill = (mean: number): KillProfile => ({
  zones: [
    {
      place: 'whole',
      groundFrac: 1,
      broadleaf: alike({ low: mean, mean, high: mean }),
      grass: alike({ low: mean, mean, high: mean }),
      buries: false,
    },
  ],
  largeSeedFactor: 1,
  perennialFactor: 1,
  wetBeforeFactor: 1,
  rainNextDayFactor: 1,
  rainSecondDayFactor: 1,
  wetFloorFactor: 0,
  residueFactor: 1,
  crustFactor: 1,
});

export const goodConditions = {
  wetBefore: false,
  rainWithinDayMm: 0,
  rainSecondDayMm: 0,
  residueCoverFrac: 0,
  crusted: false,
  dryingFactor: 1,
};

export const passOf = (day: number, kill: KillProfile, stirsGroundFrac = 0): WeedPass => ({
  day,
  kill,
  conditions: goodConditions,
  stirsGroundFrac,
});
