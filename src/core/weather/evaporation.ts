/** Saturation vapour pressure, kPa. Source: FAO-56 eq. 11. @example saturationKPa(24.5) // 3.075 */
export const saturationKPa = (tempC: number): number => 0.6108 * Math.exp((17.27 * tempC) / (tempC + 237.3));

/** Slope of the saturation curve, kPa/C. Source: FAO-56 eq. 13. @example saturationSlope(30.2) // 0.246 */
export const saturationSlope = (tempC: number): number => (4098 * saturationKPa(tempC)) / (tempC + 237.3) ** 2;

/** Temperature at which a vapour pressure saturates, C: FAO-56 eq. 11 turned round. @example dewPointC(1.409) // 12.07 */
export const dewPointC = (vapourKPa: number): number => {
  const log = Math.log(Math.max(vapourKPa, 1e-3) / 0.6108);
  return (237.3 * log) / (17.27 - log);
};

/** Air pressure, kPa. Source: FAO-56 eq. 7. @example pressureKPa(1800) // 81.8 */
export const pressureKPa = (elevationM: number): number => 101.3 * ((293 - 0.0065 * elevationM) / 293) ** 5.26;

/** Psychrometric constant, kPa/C. Source: FAO-56 eq. 8. @example psychrometric(81.8) // 0.054 */
export const psychrometric = (pressure: number): number => 0.665e-3 * pressure;

/** Wind at 2 m from another height, m/s. Source: FAO-56 eq. 47. @example windAt2M(3.2, 10) // 2.4 */
export const windAt2M = (windMPerS: number, heightM: number): number =>
  (windMPerS * 4.87) / Math.log(67.8 * heightM - 5.42);

/**
 * Net outgoing long-wave radiation over a day, MJ/m2.
 * Source: FAO-56 eq. 39, with Rs/Rso at most 1.
 */
export const netLongwaveMjPerM2 = (
  tempMaxC: number,
  tempMinC: number,
  vapourKPa: number,
  solar: number,
  clearSky: number,
): number => {
  const fourth = ((tempMaxC + 273.16) ** 4 + (tempMinC + 273.16) ** 4) / 2;
  const clearness = clearSky > 0 ? Math.min(1, solar / clearSky) : 1;
  return 4.903e-9 * fourth * (0.34 - 0.14 * Math.sqrt(vapourKPa)) * (1.35 * clearness - 0.35);
};

/**
 * Reference evaporation from temperature alone, mm a day; never negative.
 * Source: Hargreaves & Samani 1985 as FAO-56 eq. 52.
 * @param extraterrestrial MJ/m2 a day
 * @example hargreavesMm(26.6, 14.8, 40.55) // 5.03
 */
export const hargreavesMm = (tempMaxC: number, tempMinC: number, extraterrestrial: number): number =>
  Math.max(
    0,
    0.0023 *
      ((tempMaxC + tempMinC) / 2 + 17.8) *
      Math.sqrt(Math.max(0, tempMaxC - tempMinC)) *
      0.408 *
      extraterrestrial,
  );

/**
 * Reference evaporation where radiation, wind and humidity were measured, mm a day; never negative.
 * Source: FAO-56 eq. 6.
 * @param netRadiation Rn - G, MJ/m2 a day
 * @param gamma psychrometric constant, kPa/C
 */
export const penmanMonteithMm = (
  tempMaxC: number,
  tempMinC: number,
  netRadiation: number,
  vapourKPa: number,
  windMPerS: number,
  gamma: number,
): number => {
  const mean = (tempMaxC + tempMinC) / 2;
  const slope = saturationSlope(mean);
  const saturation = (saturationKPa(tempMaxC) + saturationKPa(tempMinC)) / 2;
  const aerodynamic = ((gamma * 900) / (mean + 273)) * windMPerS * (saturation - vapourKPa);
  return Math.max(0, (0.408 * slope * netRadiation + aerodynamic) / (slope + gamma * (1 + 0.34 * windMPerS)));
};
