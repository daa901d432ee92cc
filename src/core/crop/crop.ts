import { dayNumber, isoDate } from '../base/day.ts';
import { whitethreadError } from '../base/errors.ts';
import { interpolated } from '../base/numbers.ts';
import type { SoilDays } from '../soil/days.ts';
import type { WeatherDays } from '../weather/series.ts';
import { airHeat, type HeatOfDay, leafColumn, soilHeat } from './clock.ts';
import type { CropDays } from './days.ts';
import { restEnd, restEndedByDate } from './rest.ts';
import type { Crop, Planting } from './schema.ts';
import { coverFrac, shootTipDepthCm } from './stage.ts';

const sown = (crop: Crop, planting: Planting) => ({
  day: dayNumber(planting.date),
  depthCm: planting.depthCm ?? crop.plantingDepthCm.usual,
  rowCm: planting.rowCm ?? crop.usualRowCm,
});

/** A crop whose first days are missing from the weather would come out too young, so it is refused. */
const checkedLeaves = (
  crop: Crop,
  planting: Planting,
  weather: WeatherDays,
  below: HeatOfDay,
  southern: boolean,
  where = 'planting',
) => {
  const planted = sown(crop, planting);
  if (planted.day < weather.startDay)
    throw whitethreadError([
      {
        code: 'weather-too-short',
        where: `${where}.date`,
        given: `${planting.date}, before the first day of weather, ${isoDate(weather.startDay)}`,
        allowed: 'a date within the weather or after it',
        advice:
          'Give weather from the day of planting on, or from before it. A crop that was taken off since has no planting any more: leave it out, or give a stored one `endedOn`',
      },
    ]);
  const rest = restEnd(crop, planted.day, weather, southern);
  return { leaf: leafColumn(crop, planted, weather, below, rest), rest };
};

/**
 * Stage, height, cover and shoot tip of a crop, day by day, from soil heat until its growing point is above ground and
 * air heat after that. Before sowing the columns are NaN.
 * @param soil,weather the same days
 * @param southern the winter rest of an autumn crop ends six months later
 * @throws WhitethreadError 'weather-too-short' when the weather begins after planting
 */
export const cropDays = (
  crop: Crop,
  planting: Planting,
  soil: SoilDays,
  weather: WeatherDays,
  southern = false,
): CropDays => {
  const { day, depthCm, rowCm } = sown(crop, planting);
  const { leaf, rest } = checkedLeaves(crop, planting, weather, soilHeat(soil), southern);
  const known = (value: (leaf: number) => number) => leaf.map((n) => (Number.isNaN(n) ? Number.NaN : value(n)));
  const up = leaf.findIndex((n) => n >= 0);
  return {
    cropId: crop.id,
    startDay: weather.startDay,
    days: weather.days,
    plantedDay: day,
    depthCm,
    rowCm,
    emergenceDay: up < 0 ? null : weather.startDay + up,
    restEndedByDate: restEndedByDate(crop, leaf, rest, weather.startDay),
    leaf,
    heightCm: known((n) => (n < 0 ? 0 : interpolated(crop.heightCm, n))),
    coverFrac: known((n) => coverFrac(crop, rowCm, n)),
    shootTipDepthCm: known((n) => shootTipDepthCm(crop, depthCm, n)),
  };
};

/**
 * Share of the ground that the crop shades, a value a day, from air temperature alone: what the soil stage needs
 * before there is a soil temperature. 0 before emergence, never NaN.
 * @param where the planting's place in the request, for errors
 * @throws WhitethreadError 'weather-too-short' when the weather begins after planting
 */
export const airCover = (
  crop: Crop,
  planting: Planting,
  weather: WeatherDays,
  southern = false,
  where?: string,
): Float64Array => {
  const { rowCm } = sown(crop, planting);
  const { leaf } = checkedLeaves(crop, planting, weather, airHeat(weather), southern, where);
  return leaf.map((n) => coverFrac(crop, rowCm, n));
};

/**
 * Share of the ground that crops shade together, a value a day: each of what the others leave in the light, as where
 * leaves lie at random. Default of judgement.
 * @param covers of each crop, of the same days; without any the ground lies bare
 */
export const sharedCover = (covers: readonly Float64Array[], days: number): Float64Array => {
  const shade = new Float64Array(days);
  for (const cover of covers) for (let i = 0; i < days; i++) shade[i] += cover[i] - shade[i] * cover[i];
  return shade;
};
