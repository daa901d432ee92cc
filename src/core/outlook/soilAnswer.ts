import { isoDate } from '../base/day.ts';
import { rounded, roundedColumn } from '../base/numbers.ts';
import type { SoilDays } from '../soil/days.ts';
import type { SoilConstants } from '../soil/texture.ts';
import { dayOrigins } from '../weather/schema.ts';
import type { WeatherDays } from '../weather/series.ts';
import { shallowToolClosedBy } from '../windows/workability.ts';
import type { Shown } from './emergence.ts';
import type { Outlook } from './schema.ts';

/** The soil over the shown days: temperature to 0.1 C, as no soil model knows it better. */
export const soilAnswer = (
  soil: SoilDays,
  weather: WeatherDays,
  constants: SoilConstants,
  shown: Shown,
): Outlook['soil'] => {
  const first = shown.from - soil.startDay;
  const end = shown.to - soil.startDay + 1;
  const column = (values: Float64Array, digits: number) => roundedColumn(values, first, end, digits);
  const flags = (values: Uint8Array) => Array.from(values.subarray(first, end), (v) => v === 1);
  const unworkableBy = shallowToolClosedBy(soil, weather, constants).slice(first, end);
  return {
    startDate: isoDate(shown.from),
    temp5MeanC: column(soil.temp5MeanC, 1),
    temp5MaxC: column(soil.temp5MaxC, 1),
    temp5MinC: column(soil.temp5MinC, 1),
    temp10MeanC: column(soil.temp10MeanC, 1),
    surfaceWaterM3PerM3: column(soil.waterM3PerM3[0] as Float64Array, 3),
    seedbedWaterM3PerM3: column(soil.waterM3PerM3[1] as Float64Array, 3),
    surfacePotentialMPa: column(soil.surfacePotentialMPa, 3),
    seedbedPotentialMPa: column(soil.seedbedPotentialMPa, 3),
    snowMm: column(soil.snowMm, 1),
    frozen: flags(soil.frozen),
    crusted: flags(soil.crusted),
    workable: unworkableBy.map((reason) => reason === null),
    unworkableBy,
    weatherOrigin: Array.from(weather.origin.subarray(first, end), (v) => dayOrigins[v] ?? 'observed'),
    fieldCapacityM3PerM3: rounded(constants.fieldCapacity, 3),
    wiltingPointM3PerM3: rounded(constants.wiltingPoint, 3),
  };
};

/** Mean at 5 cm of the last seven days before today; null without them. */
export const lastWeekTemp5C = (soil: SoilDays, shown: Shown): number | null => {
  const end = shown.today - soil.startDay;
  if (end < 7) return null;
  const week = soil.temp5MeanC.subarray(end - 7, end);
  return rounded(week.reduce((a, b) => a + b, 0) / 7, 1);
};
