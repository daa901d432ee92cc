import { loadCatalogue } from '../../../src/catalogue/load.ts';
import { dayNumber } from '../../../src/core/base/day.ts';
import type { Crop } from '../../../src/core/crop/schema.ts';
import { emptySoilDays, type SoilDays } from '../../../src/core/soil/days.ts';
import type { WeatherDays } from '../../../src/core/weather/series.ts';

const catalogue = loadCatalogue();
export const crops = catalogue.crops;

export const cropOf = (id: string): Crop => {
  const found = crops.find((crop) => crop.id === id);
  if (found === undefined) throw new Error(`no crop ${id} in the catalogue`);
  return found;
};

/** An invented field: soil at one temperature all day, air around it. */
export type Field = { readonly soil: SoilDays; readonly weather: WeatherDays };

/** @param tempC soil and mean air temperature by index of the day */
export const fieldOf = (start: string, days: number, tempC: (index: number) => number): Field => {
  const startDay = dayNumber(start);
  const soil = emptySoilDays(startDay, days, 6);
  for (let h = 0; h < 24 * days; h++) soil.seedZoneTempC[h] = tempC(Math.floor(h / 24));
  const none = new Float64Array(days).fill(Number.NaN);
  const means = Float64Array.from({ length: days }, (_, i) => tempC(i));
  const weather: WeatherDays = {
    startDay,
    days,
    tempMaxC: means.map((t) => t + 5),
    tempMinC: means.map((t) => t - 5),
    rainMm: new Float64Array(days),
    solarMjPerM2: none,
    windMPerS: none,
    humidityFrac: none,
    origin: new Uint8Array(days),
    rainFilled: new Uint8Array(days),
  };
  return { soil, weather };
};

/** A smooth year at 42 degrees north: -6 C in late January, 23 C in late July. */
export const yearlyC = (start: string) => (index: number) => {
  const day = dayNumber(start) + index;
  return 8.5 - 14.5 * Math.cos((2 * Math.PI * (day - dayNumber('2021-01-25'))) / 365.25);
};
