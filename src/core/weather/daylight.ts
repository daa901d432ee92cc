import { type DayNumber, daysOfYear } from '../base/day.ts';
import { clamp } from '../base/numbers.ts';

const RAD = Math.PI / 180;
/** MJ m-2 min-1 (FAO-56 eq. 28 text). */
const SOLAR_CONSTANT = 0.082;

/** Inverse relative distance Earth to Sun. Source: Allen et al. 1998, FAO-56 eq. 23. @example inverseDistance(246) // 0.9848 */
export const inverseDistance = (dayOfYear: number): number => 1 + 0.033 * Math.cos((2 * Math.PI * dayOfYear) / 365);

/** Solar declination, radians. Source: FAO-56 eq. 24. @example declinationRad(246) // 0.1197 */
export const declinationRad = (dayOfYear: number): number => 0.409 * Math.sin((2 * Math.PI * dayOfYear) / 365 - 1.39);

/**
 * Sunset hour angle, radians: 0 in polar night, pi in polar day.
 * Source: FAO-56 eq. 25, its argument held to -1..1 so that it is defined beyond the polar circles.
 */
export const sunsetAngleRad = (latitudeDeg: number, declination: number): number =>
  Math.acos(clamp(-Math.tan(clamp(latitudeDeg, -89.9, 89.9) * RAD) * Math.tan(declination), -1, 1));

/** Hours from sunrise to sunset, without refraction. Source: FAO-56 eq. 34. @example dayLengthH(1.527) // 11.67 */
export const dayLengthH = (sunsetAngle: number): number => (24 * sunsetAngle) / Math.PI;

/** FAO-56 eq. 21 from the angles of the day. */
const topMjPerM2 = (latitudeDeg: number, declination: number, angle: number, distance: number): number => {
  const phi = latitudeDeg * RAD;
  const geometry =
    angle * Math.sin(phi) * Math.sin(declination) + Math.cos(phi) * Math.cos(declination) * Math.sin(angle);
  return Math.max(0, ((24 * 60) / Math.PI) * SOLAR_CONSTANT * distance * geometry);
};

/**
 * Radiation at the top of the atmosphere over a day, MJ/m2. Never negative.
 * Source: FAO-56 eq. 21.
 * @example extraterrestrialMjPerM2(-20, 246) // 32.19
 */
export const extraterrestrialMjPerM2 = (latitudeDeg: number, dayOfYear: number): number => {
  const declination = declinationRad(dayOfYear);
  const angle = sunsetAngleRad(latitudeDeg, declination);
  return topMjPerM2(latitudeDeg, declination, angle, inverseDistance(dayOfYear));
};

/** Clear-sky radiation, MJ/m2. Source: FAO-56 eq. 37. @example clearSkyMjPerM2(30, 0) // 22.5 */
export const clearSkyMjPerM2 = (extraterrestrial: number, elevationM: number): number =>
  (0.75 + 2e-5 * elevationM) * extraterrestrial;

/**
 * Global radiation from the day's temperature range, MJ/m2, at most the clear sky's. The range counts as at least 1 C.
 * Form of FAO-56 eq. 50.
 * @param adjustment FAO-56 gives 0.16 inland and 0.19 on the coast
 */
export const solarFromRangeMjPerM2 = (
  extraterrestrial: number,
  clearSky: number,
  tempRangeC: number,
  adjustment: number,
): number => Math.min(clearSky, adjustment * Math.sqrt(Math.max(1, tempRangeC)) * extraterrestrial);

/** The sun's course over a run of days, a value a day. */
export type DaylightDays = {
  readonly declinationRad: Float64Array;
  /** Hour of sunrise, local solar time, without refraction: 12 in polar night, 0 in polar day. */
  readonly sunriseHour: Float64Array;
  readonly extraterrestrialMjPerM2: Float64Array;
};

/** Declination, sunrise and radiation at the top of the atmosphere of every day. Source: FAO-56 eqs. 21-25, 34. */
export const daylightDays = (latitudeDeg: number, start: DayNumber, days: number): DaylightDays => {
  const dayOfYear = daysOfYear(start, days);
  const out = {
    declinationRad: new Float64Array(days),
    sunriseHour: new Float64Array(days),
    extraterrestrialMjPerM2: new Float64Array(days),
  };
  for (let i = 0; i < days; i++) {
    const declination = declinationRad(dayOfYear[i]);
    const angle = sunsetAngleRad(latitudeDeg, declination);
    out.declinationRad[i] = declination;
    out.sunriseHour[i] = 12 - dayLengthH(angle) / 2;
    out.extraterrestrialMjPerM2[i] = topMjPerM2(latitudeDeg, declination, angle, inverseDistance(dayOfYear[i]));
  }
  return out;
};
