import { dayOfYear } from '../base/day.ts';
import {
  clearSkyMjPerM2,
  dayLengthH,
  declinationRad,
  extraterrestrialMjPerM2,
  solarFromRangeMjPerM2,
  sunsetAngleRad,
} from '../weather/daylight.ts';
import {
  hargreavesMm,
  netLongwaveMjPerM2,
  penmanMonteithMm,
  pressureKPa,
  psychrometric,
  saturationKPa,
} from '../weather/evaporation.ts';
import type { Site } from '../weather/schema.ts';
import type { WeatherDays } from '../weather/series.ts';
import type { SoilParameters } from './parameters.ts';
import { cloudFrac, netLongwaveWPerM2, vapourFromHumidityKPa } from './surface.ts';

/** What the sky does to the field on one day; written in place. */
export type Atmosphere = {
  meanC: number;
  /** Global radiation, MJ/m2. */
  solarMj: number;
  /** Net long-wave gain of a surface at air temperature, W/m2. */
  longwaveW: number;
  declination: number;
  /** Local solar time. */
  sunriseHour: number;
  windMPerS: number;
  referenceEvaporationMm: number;
};

/** A place for `atmosphereOf` to write to, made once a run. */
export const stillAtmosphere = (): Atmosphere => ({
  meanC: 0,
  solarMj: 0,
  longwaveW: 0,
  declination: 0,
  sunriseHour: 6,
  windMPerS: 2,
  referenceEvaporationMm: 0,
});

/** Psychrometric constant of the site, kPa/C. */
export const siteGamma = (site: Site): number => psychrometric(pressureKPa(site.elevationM));

/**
 * Reads one day into `out`: measured radiation, wind and humidity where there are any, else from temperature.
 * Reference evaporation is Penman-Monteith when all three were measured, else Hargreaves.
 */
export const atmosphereOf = (
  out: Atmosphere,
  weather: WeatherDays,
  index: number,
  site: Site,
  gamma: number,
  p: SoilParameters['weather'],
): void => {
  const max = weather.tempMaxC[index];
  const min = weather.tempMinC[index];
  const measuredSolar = weather.solarMjPerM2[index];
  const measuredWind = weather.windMPerS[index];
  const humidity = weather.humidityFrac[index];
  const day = dayOfYear(weather.startDay + index);
  const top = extraterrestrialMjPerM2(site.latitudeDeg, day);
  const clear = clearSkyMjPerM2(top, site.elevationM);
  const solar = Number.isNaN(measuredSolar)
    ? solarFromRangeMjPerM2(top, clear, max - min, p.solarAdjustment)
    : measuredSolar;
  const cloud = cloudFrac(solar, clear);
  const vapour = Number.isNaN(humidity)
    ? saturationKPa(min - p.dewDepressionC * (1 - cloud))
    : vapourFromHumidityKPa(max, min, humidity);
  const declination = declinationRad(day);
  out.meanC = (max + min) / 2;
  out.solarMj = solar;
  out.longwaveW = netLongwaveWPerM2(out.meanC, vapour, cloud);
  out.declination = declination;
  out.sunriseHour = 12 - dayLengthH(sunsetAngleRad(site.latitudeDeg, declination)) / 2;
  out.windMPerS = Number.isNaN(measuredWind) ? p.windMPerS : measuredWind;
  const measured = !(Number.isNaN(measuredSolar) || Number.isNaN(measuredWind) || Number.isNaN(humidity));
  out.referenceEvaporationMm = measured
    ? penmanMonteithMm(
        max,
        min,
        0.77 * solar - netLongwaveMjPerM2(max, min, vapour, solar, clear),
        vapour,
        measuredWind,
        gamma,
      )
    : hargreavesMm(max, min, top);
};
