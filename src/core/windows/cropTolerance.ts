import type { CropDays } from '../crop/days.ts';
import type { Crop, Tolerance } from '../crop/schema.ts';
import { tenderAt } from '../crop/stage.ts';
import { morningIndex } from './conditions.ts';
import { closedBy } from './reason.ts';
import type { Closed, Implement } from './schema.ts';
import { toleranceAt } from './tolerance.ts';

/** The crop of a field and its days; null where nothing is sown or planned. */
export type FieldCrop = { readonly crop: Crop; readonly days: CropDays } | null;

/** Leaf number on an evening; NaN with no crop in the ground. */
export const leafOn = (field: FieldCrop, index: number): number =>
  field === null ? Number.NaN : field.days.leaf[index];

/** Leaf number on a morning: that of the evening before, and on the day of sowing its own. */
const leafInMorning = ({ days }: NonNullable<FieldCrop>, index: number): number => {
  const before = days.leaf[morningIndex(index)];
  return Number.isNaN(before) ? days.leaf[index] : before;
};

/**
 * Adds every reason why the crop, or the want of one, keeps a tool out on day `index`. A pass may come at any hour of
 * it, so the crop must be past its tender stage in the morning and before the next one in the evening.
 * @param made passes of this implement in this crop before that day
 */
export const addCropReasons = (
  closed: Closed[],
  tool: Implement,
  field: FieldCrop,
  index: number,
  made: number,
): void => {
  const leaf = leafOn(field, index);
  if (field === null || Number.isNaN(leaf)) {
    if (!tool.needs.withoutCrop) closed.push(closedBy('no-crop', null, null, ''));
    else if (tool.needs.rows) closed.push(closedBy('no-rows', null, null, ''));
    return;
  }
  if (tool.loosensGroundFrac > 0) addTenderReason(closed, field, index);
  if (leaf < 0) addBlindReasons(closed, tool, field, index);
  else addStageReasons(closed, tool, field, index, made);
};

const addTenderReason = (closed: Closed[], field: NonNullable<FieldCrop>, index: number): void => {
  for (const leaf of [leafInMorning(field, index), leafOn(field, index)]) {
    const tender = tenderAt(field.crop, leaf);
    if (tender === undefined) continue;
    closed.push(closedBy('crop-tender', leaf, tender.toLeaf, 'leaves', tender.name));
    return;
  }
};

/** Before emergence: is the tool one for blind passes, does the seed lie deep enough, is the shoot tip out of its way. */
const addBlindReasons = (
  closed: Closed[],
  tool: Implement,
  { crop, days }: NonNullable<FieldCrop>,
  index: number,
): void => {
  const { blind } = crop;
  if (tool.needs.rows) {
    closed.push(closedBy('no-rows', null, null, '', 'not up yet'));
    return;
  }
  if (blind === null || !blind.implements.includes(tool.id)) {
    closed.push(closedBy('crop-not-listed', null, null, '', 'before emergence'));
    return;
  }
  const depthCm = tool.workingDepthCm.usual;
  if (depthCm > 0 && days.depthCm < blind.leastSeedDepthCm)
    closed.push(closedBy('seed-too-shallow', days.depthCm, blind.leastSeedDepthCm, 'cm'));
  if (blind.tipMarginCm === null) {
    // Leaf runs from -1 to 0 with the heat from sowing to emergence.
    const heatFrac = 1 + days.leaf[index];
    if (heatFrac >= blind.closesAtHeatFrac)
      closed.push(closedBy('shoot-tip-near', heatFrac, blind.closesAtHeatFrac, '1', 'share of the heat to emergence'));
  } else {
    const tipCm = days.shootTipDepthCm[index];
    const limitCm = depthCm + blind.tipMarginCm;
    if (tipCm < limitCm) closed.push(closedBy('shoot-tip-near', tipCm, limitCm, 'cm'));
  }
};

/** After emergence: what the crop's list of tolerances says. */
const addStageReasons = (
  closed: Closed[],
  tool: Implement,
  field: NonNullable<FieldCrop>,
  index: number,
  made: number,
): void => {
  const { crop, days } = field;
  const leaf = days.leaf[index];
  const entry = toleranceAt(crop, tool.id, leaf);
  if (entry === undefined) {
    closed.push(closedBy('crop-not-listed', null, null, '', 'after emergence'));
    return;
  }
  const morning = leafInMorning(field, index);
  const early = toleranceAt(crop, tool.id, morning) === entry ? Math.max(0, Math.min(morning, leaf)) : leaf;
  if (early < entry.fromLeaf) closed.push(closedBy('crop-stage', early, entry.fromLeaf, 'leaves', 'too early'));
  if (leaf > entry.toLeaf) closed.push(closedBy('crop-stage', leaf, entry.toLeaf, 'leaves', 'too late'));
  addSizeReasons(closed, entry, days, index);
  if (entry.mostPasses !== undefined && made >= entry.mostPasses)
    closed.push(closedBy('passes-used-up', made, entry.mostPasses, 'passes'));
};

const addSizeReasons = (closed: Closed[], entry: Tolerance, days: CropDays, index: number): void => {
  const heightCm = days.heightCm[index];
  if (entry.leastHeightCm !== undefined && heightCm < entry.leastHeightCm)
    closed.push(closedBy('crop-too-short', heightCm, entry.leastHeightCm, 'cm'));
  if (entry.mostHeightCm !== undefined && heightCm > entry.mostHeightCm)
    closed.push(closedBy('crop-too-tall', heightCm, entry.mostHeightCm, 'cm'));
  if (entry.leastRowCm !== undefined && days.rowCm < entry.leastRowCm)
    closed.push(closedBy('rows-too-narrow', days.rowCm, entry.leastRowCm, 'cm'));
};
