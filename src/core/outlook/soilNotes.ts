import { rounded } from '../base/numbers.ts';
import type { Soil } from '../soil/schema.ts';
import type { SoilConstants } from '../soil/texture.ts';
import type { Outlook } from './schema.ts';

/** That a class and measured fractions are both given, which of them counted, and what was reckoned with. */
export const classAndMeasured = (
  { texture, sandFrac, clayFrac }: Soil,
  constants: Pick<SoilConstants, 'sandFrac' | 'clayFrac'>,
): Outlook['notes'] => {
  if (texture === undefined || (sandFrac === undefined && clayFrac === undefined)) return [];
  const percent = (frac: number) => `${rounded(100 * frac, 1)} %`;
  const [measured, rest] =
    clayFrac === undefined
      ? ['sandFrac', 'the class counts for clay alone']
      : sandFrac === undefined
        ? ['clayFrac', 'the class counts for sand alone']
        : ['sandFrac and clayFrac', 'the class does not count'];
  return [
    {
      code: 'texture-and-fractions',
      text: `Both the texture class ${texture} and ${measured} are given: what was measured goes before the class, and ${rest}. Reckoned with ${percent(constants.sandFrac)} sand and ${percent(constants.clayFrac)} clay.`,
    },
  ];
};
