import type { SoilParameters } from './parameters.ts';

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

/** Snow as it shields the ground from sun and air, written in place day by day. */
export type Snowpack = {
  /** Its water, mm, and its density, kg/m3. */
  waterMm: number;
  densityKgPerM3: number;
  /** Share of the ground that it covers. */
  coverFrac: number;
  /** Of the snow where it lies, m2 K/W. */
  resistance: number;
};

/** Bare ground. */
export const noSnow = (p: SoilParameters['snow']): Snowpack => ({
  waterMm: 0,
  densityKgPerM3: p.newKgPerM3,
  coverFrac: 0,
  resistance: 0,
});

/**
 * Thermal conductivity of snow, W/m/K. Source: Sturm et al. 1997, effective conductivity by density.
 * @param densityKgPerM3 up to 600
 * @example snowConductivity(200) // 0.06532
 */
export const snowConductivity = (densityKgPerM3: number): number => {
  const density = densityKgPerM3 / 1000;
  return density < 0.156 ? 0.023 + 0.234 * density : 0.138 - 1.01 * density + 3.233 * density ** 2;
};

/**
 * A day of the snow: what lies settles, what fell lies on top and is light. It covers a share of the ground, by its depth.
 * Source: the settling rate and the depth that closes the cover are those of Verseghy 1991.
 * @param waterMm of the snow at the end of the day
 */
export const settleSnow = (snow: Snowpack, waterMm: number, p: SoilParameters['snow']): void => {
  const newMm = Math.max(0, waterMm - snow.waterMm);
  snow.waterMm = waterMm;
  if (waterMm === 0) {
    snow.coverFrac = 0;
    return;
  }
  const settled = p.settledKgPerM3 - (p.settledKgPerM3 - snow.densityKgPerM3) * Math.exp(-p.settlingPerDay);
  snow.densityKgPerM3 = (settled * (waterMm - newMm) + p.newKgPerM3 * newMm) / waterMm;
  const depthM = waterMm / snow.densityKgPerM3;
  snow.coverFrac = Math.min(1, depthM / p.closedDepthM);
  snow.resistance = Math.max(depthM, p.closedDepthM) / snowConductivity(snow.densityKgPerM3);
};
