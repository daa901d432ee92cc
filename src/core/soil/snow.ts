/** Less snow than is told of melts with the rest: the noise of the sums would close every window. */
const NOISE_MM = 0.01;

/**
 * Snow that melts on a day, mm of water: degree-days times a factor, and all of it where next to none would be left.
 * @param tempMeanC above the temperature at which rain falls as snow
 * @example meltedMm(10, 2, 3) // 6
 */
export const meltedMm = (snowMm: number, tempMeanC: number, meltMmPerCd: number): number => {
  const meltableMm = meltMmPerCd * tempMeanC;
  return snowMm - meltableMm < NOISE_MM ? snowMm : meltableMm;
};
