import type { SoilDays } from '../soil/days.ts';
import { layerBottomsCm } from '../soil/layers.ts';
import type { SoilConstants } from '../soil/texture.ts';
import type { WeatherDays } from '../weather/series.ts';
import { morningIndex } from './conditions.ts';
import { groundThawHour } from './groundThaw.ts';
import { closedBy } from './reason.ts';
import type { Closed, GroundReason, Implement } from './schema.ts';
import { wettestM3PerM3 } from './wettest.ts';

/** What a shallow tool asks of a bare field, for the statistics of workable days. Calibrated on them; rain is a default. */
const SHALLOW = { mostWetOfFieldCapacity: 0.97, mostSurfaceWetOfFieldCapacity: 1, mostRainMm: 2.5 } as const;

/** Less snow than this, mm of water or about a centimetre, is gone with the first sun. Default of judgement. */
const MOST_SNOW_MM = 1;

/** By noon on the sun's clock most of the day is lost to frost in the ground. */
const LATEST_THAW_HOUR = 12;

const layerNames = layerBottomsCm.map((bottom, i) => `${layerBottomsCm[i - 1] ?? 0}-${bottom} cm`);

/**
 * Water that drained to field capacity stands there but for the noise of its sums, and a limit may be field capacity itself:
 * less than the last digit that is told, m3/m3, closes nothing, so no window is closed by a value that reads as its limit.
 */
const NOISE_M3_PER_M3 = 1e-6;

const isWetter = (waterM3PerM3: number, limitM3PerM3: number): boolean => waterM3PerM3 > limitM3PerM3 + NOISE_M3_PER_M3;

/** Lowest layer that a tool touches; a shallow one still needs 2.5-7.5 cm to carry it without smearing. */
const lowestLayer = (workingDepthCm: number): number => {
  const layer = layerBottomsCm.findIndex((bottom) => workingDepthCm <= bottom);
  return layer < 0 ? layerBottomsCm.length - 1 : Math.max(1, layer);
};

/**
 * Adds every reason why the soil keeps a tool out: layers from 2.5 cm to its working depth too wet, the surface too wet to
 * shatter, snow. Water is that of the morning; frost takes hours first, see hours.ts.
 */
export const addSoilReasons = (
  closed: Closed[],
  tool: Implement,
  soil: SoilDays,
  constants: SoilConstants,
  index: number,
): void => {
  const { mostWetOfFieldCapacity, mostSurfaceWetOfFieldCapacity } = tool.needs;
  const morning = morningIndex(index);
  if (mostWetOfFieldCapacity !== null) {
    const limit = wettestM3PerM3(constants, mostWetOfFieldCapacity);
    for (let layer = lowestLayer(tool.workingDepthCm.usual); layer >= 1; layer--) {
      const water = soil.waterM3PerM3[layer][morning];
      if (isWetter(water, limit)) closed.push(closedBy('soil-too-wet', water, limit, 'm3/m3', layerNames[layer]));
    }
  }
  if (mostSurfaceWetOfFieldCapacity !== null) {
    const limit = wettestM3PerM3(constants, mostSurfaceWetOfFieldCapacity);
    const water = soil.waterM3PerM3[0][morning];
    if (isWetter(water, limit)) closed.push(closedBy('surface-too-wet', water, limit, 'm3/m3', layerNames[0]));
  }
  if (soil.snowMm[morning] > MOST_SNOW_MM) closed.push(closedBy('snow-lies', soil.snowMm[morning], MOST_SNOW_MM, 'mm'));
};

/**
 * The first reason why a shallow tool would smear or find no ground, by day; null where there is none: frost, snow, 2.5-7.5 cm
 * or the surface too wet in the morning, more than 2.5 mm of rain that day. Whatever the crop and the weeds.
 * A day counts as fit for fieldwork when most of it can be worked (the statistics service's definition), so it starts from
 * the soil that the day before left, and rain that day takes it away.
 * @param soil,weather the same days
 */
export const shallowToolClosedBy = (
  soil: SoilDays,
  weather: WeatherDays,
  constants: SoilConstants,
): (GroundReason | null)[] => {
  const wettest = wettestM3PerM3(constants, SHALLOW.mostWetOfFieldCapacity);
  const wettestSurface = wettestM3PerM3(constants, SHALLOW.mostSurfaceWetOfFieldCapacity);
  return Array.from({ length: soil.days }, (_, i) => {
    const morning = morningIndex(i);
    if (groundThawHour(soil, i) > LATEST_THAW_HOUR) return 'soil-frozen';
    if (soil.snowMm[morning] > MOST_SNOW_MM) return 'snow-lies';
    if (isWetter(soil.waterM3PerM3[1][morning], wettest)) return 'soil-too-wet';
    if (isWetter(soil.waterM3PerM3[0][morning], wettestSurface)) return 'surface-too-wet';
    return weather.rainMm[i] > SHALLOW.mostRainMm ? 'rain-that-day' : null;
  });
};

/** 1 on days when nothing of that keeps a shallow tool out. @param soil,weather the same days */
export const shallowToolWorkable = (soil: SoilDays, weather: WeatherDays, constants: SoilConstants): Uint8Array =>
  Uint8Array.from(shallowToolClosedBy(soil, weather, constants), (reason) => (reason === null ? 1 : 0));
