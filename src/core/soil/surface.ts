import { clamp } from '../base/numbers.ts';
import { saturationKPa, saturationSlope } from '../weather/evaporation.ts';

const STEFAN_BOLTZMANN = 5.67e-8;
const KARMAN = 0.41;
/** Volumetric heat capacity of air, J/m3/K. */
const AIR = 1200;
/** Latent heat of evaporation, MJ per mm over a m2. */
export const LATENT_MJ_PER_MM = 2.45;

/** Cloud share of the sky from radiation, 0 clear to 1. Default of judgement. */
export const cloudFrac = (solarMjPerM2: number, clearSkyMjPerM2: number): number =>
  clearSkyMjPerM2 > 0 ? clamp(1 - (solarMjPerM2 / clearSkyMjPerM2 - 0.2) / 0.8, 0, 1) : 0.5;

/**
 * Net long-wave gain of a surface at air temperature, W/m2, mostly negative.
 * Source: Brutsaert 1975 for the clear sky, cloud as (1 - 0.84 c) e + 0.84 c.
 * @param vapourKPa vapour pressure, kPa
 */
export const netLongwaveWPerM2 = (tempMeanC: number, vapourKPa: number, cloud: number): number => {
  const kelvin = tempMeanC + 273.15;
  const clear = 1.24 * ((10 * vapourKPa) / kelvin) ** (1 / 7);
  const sky = (1 - 0.84 * cloud) * clear + 0.84 * cloud;
  return (sky - 1) * STEFAN_BOLTZMANN * kelvin ** 4;
};

/** Aerodynamic resistance of bare ground, s/m, from the log profile at 2 m. Source: FAO-56 eq. 4 form. */
export const airResistance = (windMPerS: number, roughnessM: number): number =>
  (Math.log(2 / roughnessM) * Math.log(20 / roughnessM)) / (KARMAN ** 2 * Math.max(0.3, windMPerS));

/** Exchange between bare open ground and the air, W/m2/K: radiative and convective. */
export const openExchangeWPerM2K = (tempMeanC: number, windMPerS: number, roughnessM: number): number =>
  4 * STEFAN_BOLTZMANN * (tempMeanC + 273.15) ** 3 + AIR / airResistance(windMPerS, roughnessM);

/** Share of what a wet surface absorbs that can go into evaporation, before the factor. Source: Priestley & Taylor 1972. @param gamma kPa/C */
export const evaporableFrac = (tempMeanC: number, gamma: number): number => {
  const slope = saturationSlope(tempMeanC);
  return slope / (slope + gamma);
};

/** Vapour pressure from mean relative humidity, kPa. Source: FAO-56 eq. 19. */
export const vapourFromHumidityKPa = (tempMaxC: number, tempMinC: number, humidityFrac: number): number =>
  (humidityFrac * (saturationKPa(tempMaxC) + saturationKPa(tempMinC))) / 2;
