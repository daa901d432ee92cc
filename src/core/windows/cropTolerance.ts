import type { Tolerance } from '../crop/schema.ts';
import { tenderAt } from '../crop/stage.ts';
import { morningIndex } from './conditions.ts';
import type { FieldCrop, WindowInput } from './input.ts';
import { leafMet, passesMade } from './passHistory.ts';
import { closedBy } from './reason.ts';
import type { Closed, Implement } from './schema.ts';
import { toleranceAt } from './tolerance.ts';

/** A crop's column on a morning: that of the evening before. */
const inMorning = (column: Float64Array, index: number): number => column[morningIndex(index)];

/** A reason that lies in one crop, which it names. */
const closedFor = ({ crop }: FieldCrop, ...reason: Parameters<typeof closedBy>): Closed => {
  const closed = closedBy(...reason);
  closed.crop = crop.id;
  return closed;
};

/**
 * Adds every reason why the crops, or the want of one, keep a tool out on day `index`: it must spare each that is in the
 * ground. A pass may come at any hour, so a crop must be past its tender stage and tall enough in the morning, and before the
 * next stage and not too tall in the evening.
 */
export const addCropReasons = (closed: Closed[], tool: Implement, input: WindowInput, index: number): void => {
  let inGround = 0;
  for (const field of input.crops) {
    const leaf = leafMet(field, index);
    if (Number.isNaN(leaf)) continue;
    inGround++;
    if (tool.loosensGroundFrac > 0) addTenderReason(closed, field, index);
    // On the day on which it comes up a pass may meet it before or after.
    if (inMorning(field.days.leaf, index) < 0 || leaf < 0) addBlindReasons(closed, tool, field, index);
    if (leaf >= 0) addStageReasons(closed, tool, input, field, index);
  }
  if (inGround > 0) return;
  if (!tool.needs.withoutCrop) closed.push(closedBy('no-crop', null, null, ''));
  else if (tool.needs.rows) closed.push(closedBy('no-rows', null, null, ''));
};

const addTenderReason = (closed: Closed[], field: FieldCrop, index: number): void => {
  for (const leaf of [inMorning(field.days.leaf, index), field.days.leaf[index]]) {
    const tender = tenderAt(field.crop, leaf);
    if (tender === undefined) continue;
    closed.push(closedFor(field, 'crop-tender', leaf, tender.toLeaf, 'leaves', tender.name));
    return;
  }
};

/** Before emergence: is the tool one for blind passes, does the seed lie deep enough, is the shoot tip out of its way. */
const addBlindReasons = (closed: Closed[], tool: Implement, field: FieldCrop, index: number): void => {
  const { crop, days } = field;
  const { blind } = crop;
  if (tool.needs.rows) {
    closed.push(closedFor(field, 'no-rows', null, null, '', 'not up yet'));
    return;
  }
  if (blind === null || !blind.implements.includes(tool.id)) {
    closed.push(closedFor(field, 'crop-not-listed', null, null, '', 'before emergence'));
    return;
  }
  const depthCm = tool.workingDepthCm.usual;
  if (depthCm > 0 && days.depthCm < blind.leastSeedDepthCm)
    closed.push(closedFor(field, 'seed-too-shallow', days.depthCm, blind.leastSeedDepthCm, 'cm'));
  if (blind.tipMarginCm === null) {
    // Leaf runs from -1 to 0 with the heat from sowing to emergence.
    const heatFrac = 1 + days.leaf[index];
    if (heatFrac >= blind.closesAtHeatFrac)
      closed.push(
        closedFor(field, 'shoot-tip-near', heatFrac, blind.closesAtHeatFrac, '1', 'share of the heat to emergence'),
      );
  } else {
    const tipCm = days.shootTipDepthCm[index];
    const limitCm = depthCm + blind.tipMarginCm;
    if (tipCm < limitCm) closed.push(closedFor(field, 'shoot-tip-near', tipCm, limitCm, 'cm'));
  }
};

/** After emergence: what the crop's list of tolerances says. */
const addStageReasons = (
  closed: Closed[],
  tool: Implement,
  input: WindowInput,
  field: FieldCrop,
  index: number,
): void => {
  const { crop, days } = field;
  const leaf = days.leaf[index];
  const entry = toleranceAt(crop, tool.id, leaf);
  if (entry === undefined) {
    closed.push(closedFor(field, 'crop-not-listed', null, null, '', 'after emergence'));
    return;
  }
  const morning = inMorning(days.leaf, index);
  const early = toleranceAt(crop, tool.id, morning) === entry ? Math.max(0, Math.min(morning, leaf)) : leaf;
  if (early < entry.fromLeaf) closed.push(closedFor(field, 'crop-stage', early, entry.fromLeaf, 'leaves', 'too early'));
  if (leaf > entry.toLeaf) closed.push(closedFor(field, 'crop-stage', leaf, entry.toLeaf, 'leaves', 'too late'));
  addSizeReasons(closed, entry, field, index);
  const addUsedUp = (fromLeaf: -1 | 0, most: number | undefined, since: string): void => {
    const made = passesMade(input, field, tool.id, index, fromLeaf);
    if (most !== undefined && made >= most)
      closed.push(closedFor(field, 'passes-used-up', made, most, 'passes', since));
  };
  addUsedUp(0, entry.mostPasses, 'since it came up');
  addUsedUp(-1, entry.mostPassesSinceSowing, 'since sowing');
};

const addSizeReasons = (closed: Closed[], entry: Tolerance, field: FieldCrop, index: number): void => {
  const { days } = field;
  const leastCm = inMorning(days.heightCm, index);
  if (entry.leastHeightCm !== undefined && leastCm < entry.leastHeightCm)
    closed.push(closedFor(field, 'crop-too-short', leastCm, entry.leastHeightCm, 'cm'));
  const heightCm = days.heightCm[index];
  if (entry.mostHeightCm !== undefined && heightCm > entry.mostHeightCm)
    closed.push(closedFor(field, 'crop-too-tall', heightCm, entry.mostHeightCm, 'cm'));
  if (entry.leastRowCm !== undefined && days.rowCm < entry.leastRowCm)
    closed.push(closedFor(field, 'rows-too-narrow', days.rowCm, entry.leastRowCm, 'cm'));
};
