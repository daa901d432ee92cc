/** Hour of the highest temperature, local solar time: 1.86 h after noon. Calibrated on observed soil temperature. */
export const WARMEST_HOUR = 13.86;

/**
 * Fills 24 air temperatures, each for the middle of its hour: cosine arcs from yesterday's highest to the lowest at
 * sunrise, up to the highest at `WARMEST_HOUR`, and down towards tomorrow's lowest.
 * Default of judgement; the arc form is common practice.
 * @param out 24 values, C, written in place so that a year allocates nothing
 * @param sunriseHour local solar time, 0 to 12
 */
export const airTemperatures = (
  out: Float64Array,
  previousMaxC: number,
  minC: number,
  maxC: number,
  nextMinC: number,
  sunriseHour: number,
): void => {
  const night = 24 - WARMEST_HOUR + sunriseHour;
  const rise = WARMEST_HOUR - sunriseHour;
  for (let h = 0; h < 24; h++) {
    const hour = h + 0.5;
    if (hour < sunriseHour) out[h] = arc(previousMaxC, minC, (hour + 24 - WARMEST_HOUR) / night);
    else if (hour < WARMEST_HOUR) out[h] = arc(minC, maxC, (hour - sunriseHour) / rise);
    else out[h] = arc(maxC, nextMinC, (hour - WARMEST_HOUR) / night);
  }
};

const arc = (from: number, to: number, part: number): number =>
  from + ((to - from) * (1 - Math.cos(Math.PI * part))) / 2;

/** Cosine of the sun's hour angle in the middle of each hour, counted from midnight. */
const hourCosines = Float64Array.from({ length: 24 }, (_, h) => Math.cos((Math.PI * (h + 0.5)) / 12));

/**
 * Fills 24 shares of the day's radiation, in proportion to the sine of the sun's height; they add up to 1, or to 0 in
 * polar night. Declination and latitude in radians.
 */
export const sunShares = (out: Float64Array, latitudeRad: number, declination: number): void => {
  const a = Math.sin(latitudeRad) * Math.sin(declination);
  const b = Math.cos(latitudeRad) * Math.cos(declination);
  let sum = 0;
  for (let h = 0; h < 24; h++) {
    const height = Math.max(0, a - b * hourCosines[h]);
    out[h] = height;
    sum += height;
  }
  if (sum > 0) for (let h = 0; h < 24; h++) out[h] = (out[h] as number) / sum;
};
