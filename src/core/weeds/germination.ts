import type { EmergenceComponent } from './schema.ts';

type Curve = Pick<EmergenceComponent, 'lagCd' | 'scaleCd' | 'shape'>;

/** exp(-21) is below 1e-9: nothing worth counting is left, and the curve ends at exactly 1. */
const FINISHED = 21;

/**
 * Share of a component's seedlings germinated at a hydrothermal time: 1 - exp(-((time - lag) / scale)^shape), 0 to 1.
 * 0 up to the lag; exactly 1 once less than 1e-9 is left.
 * Source: the Weibull form usual for emergence, such as Werle et al. 2014 Weed Science 62:267.
 * @param timeCd hydrothermal time since the component's start, C d
 * @example germinatedShare(100, { lagCd: 50, scaleCd: 50, shape: 2 }) // 0.632
 */
export const germinatedShare = (timeCd: number, curve: Curve): number => {
  if (timeCd <= curve.lagCd) return 0;
  const power = Math.exp(curve.shape * Math.log((timeCd - curve.lagCd) / curve.scaleCd));
  return power >= FINISHED ? 1 : 1 - Math.exp(-power);
};

/**
 * The inverse: hydrothermal time at which a share has germinated, C d.
 * @param share 0 to less than 1
 * @example germinationTimeCd(0.632, { lagCd: 50, scaleCd: 50, shape: 2 }) // 100
 */
export const germinationTimeCd = (share: number, curve: Curve): number =>
  curve.lagCd + curve.scaleCd * (-Math.log1p(-share)) ** (1 / curve.shape);
