import type { DayNumber } from '../base/day.ts';
import { interpolated } from '../base/numbers.ts';
import type { SoilDays } from '../soil/days.ts';
import { clampedHeat } from '../weather/degreedays.ts';
import type { WeatherDays } from '../weather/series.ts';
import type { RestEnd } from './rest.ts';
import type { Crop } from './schema.ts';
import { emergenceHeatCd } from './stage.ts';

/** Heat of the day at an index of the series, between a base and an upper limit. */
export type HeatOfDay = (index: number, baseTempC: number, upperTempC: number) => number;

/** Heat in the seed zone: the mean over 24 hours, each held between base and upper limit, minus the base. */
export const soilHeat =
  (soil: SoilDays): HeatOfDay =>
  (index, baseTempC, upperTempC) => {
    let sum = 0;
    for (let h = 24 * index; h < 24 * index + 24; h++) {
      const tempC = soil.seedZoneTempC[h];
      sum += tempC <= baseTempC ? 0 : Math.min(tempC, upperTempC) - baseTempC;
    }
    return sum / 24;
  };

/** Heat in the air, method 2 of McMaster & Wilhelm 1997. */
export const airHeat =
  (weather: WeatherDays): HeatOfDay =>
  (index, baseTempC, upperTempC) =>
    clampedHeat(weather.tempMaxC[index], weather.tempMinC[index], baseTempC, upperTempC);

/**
 * Leaf number at the end of each day: NaN before sowing, -1 on its day, up to 0 at emergence in proportion to the heat
 * needed, then by the leaf clock. Heat counts from the day after sowing: the seed first has to take up water.
 * The growing point tells which heat counts: `below` up to `soilUntilLeaf`, that of the air after it.
 * @param rest until its end an autumn crop stays at its resting leaf
 */
export const leafColumn = (
  crop: Crop,
  planted: { readonly day: DayNumber; readonly depthCm: number },
  weather: WeatherDays,
  below: HeatOfDay,
  rest: RestEnd,
): Float64Array => {
  const { emergence, leaf, winterRest } = crop;
  const above = airHeat(weather);
  const needed = emergenceHeatCd(crop, planted.depthCm);
  const leafByHeat = leaf.heatCd.map(([number, heatCd]) => [heatCd, number] as const);
  const restEnds = Math.min(rest.coldIndex, rest.dateIndex);
  const restCd = winterRest === undefined ? 0 : interpolated(leaf.heatCd, winterRest.leaf);
  const column = new Float64Array(weather.days).fill(Number.NaN);
  let seedCd = 0;
  let leafCd = 0;
  let reached = -1;
  for (let i = Math.max(0, planted.day - weather.startDay); i < weather.days; i++) {
    // Share of the day spent above ground: on the day of emergence, what its heat leaves over.
    let part = reached < 0 ? 0 : 1;
    if (reached < 0 && weather.startDay + i > planted.day) {
      const dayCd = below(i, emergence.baseTempC, emergence.upperTempC);
      seedCd += dayCd;
      if (seedCd < needed) reached = seedCd / needed - 1;
      else part = (seedCd - needed) / dayCd;
    }
    if (seedCd >= needed) {
      const heat = reached < leaf.soilUntilLeaf ? below : above;
      leafCd += part * heat(i, leaf.baseTempC, leaf.upperTempC);
      if (i < restEnds) leafCd = Math.min(restCd, leafCd);
      reached = interpolated(leafByHeat, leafCd);
    }
    column[i] = reached;
  }
  return column;
};
