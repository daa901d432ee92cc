import { clearSkyMjPerM2, daylightDays, solarFromRangeMjPerM2 } from '../weather/daylight.ts';
import {
  hargreavesMm,
  netLongwaveMjPerM2,
  penmanMonteithMm,
  pressureKPa,
  psychrometric,
  saturationKPa,
} from '../weather/evaporation.ts';
import { airHours, sunHours } from '../weather/hours.ts';
import type { Site } from '../weather/schema.ts';
import type { WeatherDays } from '../weather/series.ts';
import type { SoilParameters } from './parameters.ts';
import { cloudFrac, evaporableFrac, netLongwaveWPerM2, openExchangeWPerM2K, vapourFromHumidityKPa } from './surface.ts';

/**
 * What the sky does to a field, a value a day and 24 in the hourly columns. It does not depend on the ground, so it is
 * worked out before the soil, column by column: the engine can inline all of a loop this small, and then boxes no number.
 */
export type AtmosphereDays = {
  readonly meanC: Float64Array;
  /** Global radiation, MJ/m2. */
  readonly solarMj: Float64Array;
  /** Net long-wave gain of a surface at air temperature, W/m2. */
  readonly longwaveW: Float64Array;
  readonly referenceEvaporationMm: Float64Array;
  /** Between bare open ground and the air, W/m2/K. */
  readonly openExchange: Float64Array;
  /** Share of what a wet surface absorbs that can go into evaporation. */
  readonly evaporableFrac: Float64Array;
  /** Hour by hour: temperature of the air, C, and share of the day's sun. */
  readonly airC: Float64Array;
  readonly sunFrac: Float64Array;
};

/** Psychrometric constant of the site, kPa/C. */
export const siteGamma = (site: Site): number => psychrometric(pressureKPa(site.elevationM));

/** Radiation and vapour of each day: measured where they were, else from temperature. */
type Radiation = {
  readonly clearMj: Float64Array;
  readonly solarMj: Float64Array;
  readonly vapourKPa: Float64Array;
  readonly longwaveW: Float64Array;
};

const radiationDays = (
  weather: WeatherDays,
  extraterrestrialMj: Float64Array,
  elevationM: number,
  p: SoilParameters['weather'],
): Radiation => {
  const { days, tempMaxC, tempMinC, solarMjPerM2, humidityFrac } = weather;
  const out = {
    clearMj: new Float64Array(days),
    solarMj: new Float64Array(days),
    vapourKPa: new Float64Array(days),
    longwaveW: new Float64Array(days),
  };
  for (let i = 0; i < days; i++) {
    const max = tempMaxC[i];
    const min = tempMinC[i];
    const clear = clearSkyMjPerM2(extraterrestrialMj[i], elevationM);
    const solar = Number.isNaN(solarMjPerM2[i])
      ? solarFromRangeMjPerM2(extraterrestrialMj[i], clear, max - min, p.solarAdjustment)
      : solarMjPerM2[i];
    const cloud = cloudFrac(solar, clear);
    const vapour = Number.isNaN(humidityFrac[i])
      ? saturationKPa(min - p.dewDepressionC * (1 - cloud))
      : vapourFromHumidityKPa(max, min, humidityFrac[i]);
    out.clearMj[i] = clear;
    out.solarMj[i] = solar;
    out.vapourKPa[i] = vapour;
    out.longwaveW[i] = netLongwaveWPerM2((max + min) / 2, vapour, cloud);
  }
  return out;
};

/** Reference evaporation: Penman-Monteith on days when radiation, wind and humidity were all measured, else Hargreaves. */
const evaporationDays = (
  weather: WeatherDays,
  extraterrestrialMj: Float64Array,
  { clearMj, solarMj, vapourKPa }: Radiation,
  gamma: number,
): Float64Array => {
  const { days, tempMaxC, tempMinC, solarMjPerM2, windMPerS, humidityFrac } = weather;
  const out = new Float64Array(days);
  for (let i = 0; i < days; i++) {
    const max = tempMaxC[i];
    const min = tempMinC[i];
    const measured = !(Number.isNaN(solarMjPerM2[i]) || Number.isNaN(windMPerS[i]) || Number.isNaN(humidityFrac[i]));
    if (measured) {
      const net = 0.77 * solarMj[i] - netLongwaveMjPerM2(max, min, vapourKPa[i], solarMj[i], clearMj[i]);
      out[i] = penmanMonteithMm(max, min, net, vapourKPa[i], windMPerS[i], gamma);
    } else out[i] = hargreavesMm(max, min, extraterrestrialMj[i]);
  }
  return out;
};

type Exchange = Pick<AtmosphereDays, 'meanC' | 'openExchange' | 'evaporableFrac'>;

/** Mean temperature, and what it and the wind make of a surface's exchange with the air. */
const exchangeDays = (
  { days, tempMaxC, tempMinC, windMPerS }: WeatherDays,
  { weather, heat }: SoilParameters,
  gamma: number,
): Exchange => {
  const out = {
    meanC: new Float64Array(days),
    openExchange: new Float64Array(days),
    evaporableFrac: new Float64Array(days),
  };
  for (let i = 0; i < days; i++) {
    const mean = (tempMaxC[i] + tempMinC[i]) / 2;
    const wind = Number.isNaN(windMPerS[i]) ? weather.windMPerS : windMPerS[i];
    out.meanC[i] = mean;
    out.openExchange[i] = openExchangeWPerM2K(mean, wind, heat.roughnessM);
    out.evaporableFrac[i] = evaporableFrac(mean, gamma);
  }
  return out;
};

/**
 * The sky over a field for all days of its weather. docs/model.md has the equations. Without a loop of its own: the engine
 * would compile one together with those it calls, and too large a piece for it to inline their equations.
 */
export const atmosphereDays = (weather: WeatherDays, site: Site, parameters: SoilParameters): AtmosphereDays => {
  const gamma = siteGamma(site);
  const sun = daylightDays(site.latitudeDeg, weather.startDay, weather.days);
  const radiation = radiationDays(weather, sun.extraterrestrialMjPerM2, site.elevationM, parameters.weather);
  return {
    ...exchangeDays(weather, parameters, gamma),
    solarMj: radiation.solarMj,
    longwaveW: radiation.longwaveW,
    referenceEvaporationMm: evaporationDays(weather, sun.extraterrestrialMjPerM2, radiation, gamma),
    airC: airHours(weather, sun.sunriseHour),
    sunFrac: sunHours(site.latitudeDeg, sun.declinationRad),
  };
};
