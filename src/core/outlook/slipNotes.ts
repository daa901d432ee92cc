import { isoDate } from '../base/day.ts';
import { rounded } from '../base/numbers.ts';
import type { FieldCrop } from '../windows/input.ts';
import type { MadePass } from './passes.ts';
import type { Outlook } from './schema.ts';

const bothUnits = (cm: number): string => `${rounded(cm, 1)} cm (${rounded(cm / 2.54, 1)} in)`;

/** Usual depths are round numbers; so far beyond them is no slip: 2 in where 5 cm is most. Default of judgement. */
const ROUND_CM = 0.5;

/** A slip of the pen or of the unit: the crop's clock and its blind passes are known for the usual depths alone. */
export const oddDepth = ({ crop, days }: FieldCrop): Outlook['notes'] => {
  const { depthCm } = days;
  const { least, most } = crop.plantingDepthCm;
  if (depthCm >= least - ROUND_CM && depthCm <= most + ROUND_CM) return [];
  const inches = (cm: number) => rounded(cm / 2.54, 1);
  return [
    {
      code: 'planting-depth-unusual',
      text: `A planting depth of ${rounded(depthCm, 1)} cm (${inches(depthCm)} in) is given; ${crop.id.replaceAll('-', ' ')} is usually planted ${least} to ${most} cm (${inches(least)} to ${inches(most)} in) deep. Emergence and passes before it are reckoned with the depth given: correct it if it is a slip.`,
    },
  ];
};

/**
 * Rows are no slip down to a sixth of the usual, as soybean of 76 cm rows is also drilled at 15 to 19, and up to two and a
 * half times it, as corn is also sown in rows twice as wide; drilled crops up to a metre, as they are also sown in hoed rows.
 * Default of judgement: millimetres for centimetres are beyond it.
 */
const LEAST_OF_USUAL_ROW = 1 / 6;
const MOST_OF_USUAL_ROW = 2.5;
const PLAIN_ROW_CM = 100;

/** A row width that is likely a slip of the pen or of the unit: cover and the tools that need room between rows go by it. */
export const oddRow = ({ crop, days }: FieldCrop): Outlook['notes'] => {
  const { rowCm } = days;
  const { usualRowCm } = crop;
  const most = Math.max(MOST_OF_USUAL_ROW * usualRowCm, PLAIN_ROW_CM);
  if (rowCm >= LEAST_OF_USUAL_ROW * usualRowCm && rowCm <= most) return [];
  return [
    {
      code: 'row-width-unusual',
      text: `Rows of ${bothUnits(rowCm)} are given; ${crop.id.replaceAll('-', ' ')} usually stands in rows of ${bothUnits(usualRowCm)}. Cover and the tools that need room between rows are reckoned with the width given: correct it if it is a slip.`,
    },
  ];
};

/** Passes of one tool named twice on one day: each is taken as made, as one there and one across may be. */
export const twicePasses = (passes: readonly MadePass[]): Outlook['notes'] => {
  const names = passes.map(({ day, implement: { id } }) => `${isoDate(day)} ${id}`);
  const twice = [...new Set(names.filter((name, i) => names.indexOf(name) < i))].toSorted();
  if (twice.length === 0) return [];
  return [
    {
      code: 'pass-named-twice',
      text: `Named more than once: ${twice.join(', ')}. Each counts as a pass of its own, in what it kills and costs: take out what was entered twice.`,
    },
  ];
};

/** Tools are set deeper and shallower than is usual; so far beyond that is a slip. Default of judgement. */
const LEAST_OF_LEAST_DEPTH = 0.5;
const MOST_OF_MOST_DEPTH = 2;

/** Passes of tools that loosen the ground whose depth is likely a slip: the soil is taken to have been stirred so deep. */
export const oddPassDepth = (passes: readonly MadePass[]): Outlook['notes'] => {
  const odd = passes.filter(({ implement: { loosensGroundFrac, workingDepthCm }, depthCm }) => {
    const { least, most } = workingDepthCm;
    return loosensGroundFrac > 0 && (depthCm < LEAST_OF_LEAST_DEPTH * least || depthCm > MOST_OF_MOST_DEPTH * most);
  });
  if (odd.length === 0) return [];
  const listed = odd
    .map(({ day, implement: { id, workingDepthCm }, depthCm }) => {
      const { least, most } = workingDepthCm;
      return `${isoDate(day)} ${id} ${bothUnits(depthCm)}, usually ${bothUnits(least)} to ${bothUnits(most)}`;
    })
    .toSorted()
    .join('; ');
  return [
    {
      code: 'pass-depth-unusual',
      text: `Passes are named at a depth that their tools do not usually work: ${listed}. The soil is reckoned as loosened so deep: correct the depth if it is a slip.`,
    },
  ];
};
