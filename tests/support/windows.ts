import { dayNumber } from '../../src/core/base/day.ts';
import type { CropDays } from '../../src/core/crop/days.ts';
import { type Crop, crop as cropSchema } from '../../src/core/crop/schema.ts';
import { emptySoilDays, type SoilDays } from '../../src/core/soil/days.ts';
import { hydraulics } from '../../src/core/soil/texture.ts';
import type { WeatherDays } from '../../src/core/weather/series.ts';
import type { SpeciesDays, WeedDays } from '../../src/core/weeds/days.ts';
import { type Species, type WeedStage, weedStages } from '../../src/core/weeds/schema.ts';
import type { WindowInput } from '../../src/core/windows/input.ts';
import { type Implement, implement as implementSchema, type WindowDay } from '../../src/core/windows/schema.ts';
import { windowDays } from '../../src/core/windows/windows.ts';
import { annual } from '../core/weeds/synthetic.ts';

/** Everything here is invented: fine dry June days that look alike, a crop that stands still, a hoe. */
export const START = dayNumber('2026-06-10');
export const DAYS = 5;
/** The day that the tests ask for: one before it, three after it. */
export const TODAY = START + 1;

export const column = (value: number, days = DAYS): Float64Array => new Float64Array(days).fill(value);

export const fineWeather = (change: Partial<WeatherDays> = {}): WeatherDays => ({
  startDay: START,
  days: DAYS,
  tempMaxC: column(28),
  tempMinC: column(14),
  rainMm: column(0),
  solarMjPerM2: column(Number.NaN),
  windMPerS: column(2),
  humidityFrac: column(Number.NaN),
  origin: new Uint8Array(DAYS),
  rainFilled: new Uint8Array(DAYS),
  ...change,
});

/** Silty clay loam of the Saxton & Rawls class table. */
export const clayey = hydraulics(0.1, 0.35, 0.025);

export const drySoil = (change: Partial<SoilDays> = {}): SoilDays => ({
  ...emptySoilDays(START, DAYS, 6),
  temp5MinC: column(15),
  waterM3PerM3: Array.from({ length: 6 }, () => column(0.22)),
  ...change,
});

/** `drySoil` with one layer at another water content. */
export const wetLayer = (layer: number, water: number): SoilDays => {
  const soil = drySoil();
  (soil.waterM3PerM3[layer] as Float64Array).fill(water);
  return soil;
};

export const kind = (change: Partial<Species> = {}): Species => ({ ...annual, height: null, ...change });

export type Stock = Partial<Record<WeedStage, number>>;

/** A species whose stock stays the same, and of which `comingUpFrac` comes up each day. */
export const still = (speciesId: string, stock: Stock, comingUpFrac = 0): SpeciesDays => ({
  speciesId,
  undisturbedFrac: column(0),
  germinatedFrac: column(0),
  potentialFrac: column(0),
  emergedFrac: Float64Array.from({ length: DAYS }, (_, i) => i * comingUpFrac),
  deadFrac: column(0),
  standingFrac: new Float64Array(0),
  stockFrac: weedStages.map((stage) => column(stock[stage] ?? 0)),
});

export const stillWeeds = (...species: SpeciesDays[]): WeedDays => ({ startDay: START, days: DAYS, species });

const everyStage = (means: readonly number[]) =>
  Object.fromEntries(weedStages.map((stage, s) => [stage, { low: 0, mean: means[s] ?? 0, high: 1 }]));

/** A hoe that works the whole ground and kills what is young; means of crops-and-implements' rotary hoe. */
export const hoe = (needs: Partial<Implement['needs']> = {}, change: Partial<Implement> = {}): Implement =>
  implementSchema.parse({
    id: 'hoe',
    name: 'hoe',
    action: 'stirs',
    kill: {
      zones: [
        {
          place: 'whole',
          groundFrac: 1,
          broadleaf: everyStage([0.75, 0.55, 0.25, 0.08, 0.02]),
          grass: everyStage([0.75, 0.55, 0.25, 0.08, 0.02]),
          buries: false,
        },
      ],
      largeSeedFactor: 0.6,
      perennialFactor: 0.7,
      wetBeforeFactor: 0.36,
      rainNextDayFactor: 0.36,
      rainSecondDayFactor: 0.7,
      wetFloorFactor: 0.13,
      residueFactor: 0.5,
      crustFactor: 0.7,
    },
    workingDepthCm: { least: 1, usual: 2, most: 3 },
    loosensGroundFrac: 1,
    widthM: 6,
    speedKmh: 16,
    fieldEfficiencyFrac: 0.8,
    needs: {
      mostWetOfFieldCapacity: 0.97,
      mostSurfaceWetOfFieldCapacity: 0.9,
      mostRainThatDayMm: 2.5,
      mostRainNextDayMm: 5,
      leastTempMaxC: 15,
      mostTempMaxC: 40,
      mostWindMPerS: null,
      mostResidueFrac: 0.3,
      dewOff: true,
      leastHeightGapCm: null,
      rows: false,
      withoutCrop: true,
      leastKillFrac: 0.01,
      dryResidueIsFireRisk: false,
      ...needs,
    },
    hazards: ['thrownStones', 'road'],
    ...change,
  });

/** A cutter that meets grown weeds only and leaves the soil alone. */
export const cutter = (needs: Partial<Implement['needs']> = {}): Implement => {
  const { kill, ...rest } = hoe(
    { mostWetOfFieldCapacity: null, mostSurfaceWetOfFieldCapacity: null, ...needs },
    { id: 'cutter', loosensGroundFrac: 0, workingDepthCm: { least: 0, usual: 0, most: 0 } },
  );
  const grown = everyStage([0, 0.1, 0.5, 0.9, 0.9, 0.9, 0.9]);
  const zones = kill.zones.map((zone) => ({ ...zone, broadleaf: grown, grass: grown }));
  return implementSchema.parse({ ...rest, kill: { ...kill, zones } });
};

export const bean = (change: Partial<Crop> = {}): Crop =>
  cropSchema.parse({
    id: 'bean',
    name: 'bean',
    plantingDepthCm: { least: 3, usual: 4, most: 5 },
    usualRowCm: 76,
    emergence: { baseTempC: 10, upperTempC: 30, lagCd: 20, perCmCd: 10 },
    leaf: {
      name: 'leaf',
      baseTempC: 10,
      upperTempC: 30,
      soilUntilLeaf: 0,
      heatCd: [
        [0, 0],
        [10, 500],
      ],
    },
    stages: [{ name: 'up', leaf: 0 }],
    heightCm: [
      [0, 2],
      [10, 80],
    ],
    coverFrac: [
      [0, 0],
      [10, 0.85],
    ],
    blind: { tipMarginCm: 1, closesAtHeatFrac: 0.8, leastSeedDepthCm: 3.5, implements: ['hoe'], standLossFrac: 0.02 },
    tender: [{ name: 'hook', fromLeaf: -0.2, toLeaf: 0.3 }],
    tolerances: [{ implement: 'hoe', fromLeaf: 1, toLeaf: 4, standLossFrac: 0.03 }],
    forgivenStandLossFrac: 0.1,
    heatUncertaintyFrac: 0.1,
    sownIn: 'spring',
    ...change,
  });

/** A crop that stays at one leaf number, sown ten days ago. */
export const standing = (leaf: number, change: Partial<CropDays> = {}): CropDays => ({
  cropId: 'bean',
  startDay: START,
  days: DAYS,
  plantedDay: START - 10,
  depthCm: 4,
  rowCm: 76,
  emergenceDay: leaf < 0 ? null : START,
  restEndedByDate: null,
  leaf: column(leaf),
  heightCm: column(leaf < 0 ? 0 : 5 * leaf),
  coverFrac: column(0),
  shootTipDepthCm: column(leaf < 0 ? 3 : 0),
  ...change,
});

/** A field in Iowa with white threads and two days to come, on which the hoe may go out. */
export const field = (change: Partial<WindowInput> = {}): WindowInput => ({
  site: { latitudeDeg: 42, longitudeDeg: -93.6, elevationM: 300, timeZone: 'America/Chicago' },
  weather: fineWeather(),
  soil: drySoil(),
  constants: clayey,
  residueCoverFrac: 0,
  weeds: stillWeeds(still('a', { whiteThread: 0.2 })),
  species: [{ species: kind({ id: 'a' }), relativeDensity: 1 }],
  crops: [{ crop: bean(), days: standing(2) }],
  implements: [hoe()],
  passes: [],
  today: TODAY,
  lastDay: TODAY,
  ...change,
});

/** The first window day of a field. */
export const firstDay = (change: Partial<WindowInput> = {}): WindowDay => {
  const [day] = windowDays(field(change));
  if (day === undefined) throw new Error('no window day');
  return day;
};
