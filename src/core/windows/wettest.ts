import { interpolated } from '../base/numbers.ts';
import type { SoilConstants } from '../soil/texture.ts';

/**
 * How much wetter than others a sandy soil may be worked by its sand, because it does not smear. Derived: upper limit of workability
 * of Terzaghi et al. 1988 over field capacity, at organic matter 2.5 %: loam 0.98, sandy clay 1.06, sandy loam 1.28, sands
 * above 1.6. Silty soils come out at 0.8; there the 0.97 that the counted field days ask for is kept.
 */
const sandLeniency = [
  [0.4, 1],
  [0.5, 1.06],
  [0.65, 1.28],
  [0.8, 1.6],
] as const;

/** The wettest that soil may be, m3/m3. @param ofFieldCapacity share of field capacity, before sand */
export const wettestM3PerM3 = (constants: SoilConstants, ofFieldCapacity: number): number =>
  ofFieldCapacity * interpolated(sandLeniency, constants.sandFrac) * constants.fieldCapacity;
