import { z } from 'zod';
import {
  civilDate,
  depthCm,
  frac,
  lengthCm,
  lineText,
  rainMm,
  slug,
  speedKmh,
  tempC,
  widthM,
  windMPerS,
} from '../base/quantity.ts';
import { killProfile, killRange, weedStages } from '../weeds/schema.ts';

/** Which danger a caution speaks of. Every answer that opens a window carries the cautions of its implement. */
export const hazards = [
  'pto',
  'rollOver',
  'road',
  'heat',
  'dust',
  'thrownStones',
  'openFlame',
  'highVoltage',
  'youngCrew',
] as const;
export type Hazard = (typeof hazards)[number];

export const implement = z.strictObject({
  id: slug(),
  name: lineText(),
  action: lineText(),
  kill: killProfile,
  workingDepthCm: z.strictObject({ least: depthCm(), usual: depthCm(), most: depthCm() }),
  /** Share of the ground that it loosens; 0 for tools that do not touch the soil. */
  loosensGroundFrac: frac(),
  widthM: widthM(),
  speedKmh: speedKmh(),
  fieldEfficiencyFrac: frac(),
  needs: z.strictObject({
    /** The layer at working depth must be drier than this share of field capacity; null for tools that do not touch the soil. */
    mostWetOfFieldCapacity: z.number().min(0.3).max(1.5).meta({ unit: '1' }).nullable(),
    /** The top 2.5 cm must be drier than this share of field capacity, so that it shatters. */
    mostSurfaceWetOfFieldCapacity: z.number().min(0.3).max(1.5).meta({ unit: '1' }).nullable(),
    mostRainThatDayMm: rainMm(),
    /** Rain of the next day that undoes the pass; null where rain does not matter. */
    mostRainNextDayMm: rainMm().nullable(),
    leastTempMaxC: tempC(),
    /** Hours hotter than this are not worked. */
    mostTempMaxC: tempC(),
    mostWindMPerS: windMPerS().nullable(),
    mostResidueFrac: frac(),
    dewOff: z.boolean(),
    /** Weeds must stand this far above the crop; null where no gap is needed. */
    leastHeightGapCm: lengthCm().nullable(),
    /** Works at all only where the crop stands in rows. */
    rows: z.boolean(),
    /** May be used with no crop in the ground. */
    withoutCrop: z.boolean(),
    /** Least share of the weed year's seedlings that must be in reach for the drive to be worth it. */
    leastKillFrac: frac(),
    /** Flame and electric: not over dry residue. */
    dryResidueIsFireRisk: z.boolean(),
  }),
  hazards: z.array(z.enum(hazards)),
});
export type Implement = z.infer<typeof implement>;

/** Why a window is closed. A closed list; docs/errors.md has the sentence for each. */
export const closedReasons = [
  'soil-too-wet',
  'surface-too-wet',
  'soil-frozen',
  'snow-lies',
  'rain-that-day',
  'rain-next-day',
  'rain-unknown',
  'too-cold',
  'too-hot',
  'too-windy',
  'no-hours',
  'no-weeds-in-reach',
  'nothing-at-white-thread',
  'no-height-gap',
  'crop-tender',
  'crop-stage',
  'crop-too-short',
  'crop-too-tall',
  'crop-not-listed',
  'no-crop',
  'no-rows',
  'rows-too-narrow',
  'shoot-tip-near',
  'seed-too-shallow',
  'passes-used-up',
  'too-much-residue',
  'fire-risk',
] as const;
export type ClosedReason = (typeof closedReasons)[number];

/** One reason with the value met and the limit it broke, in `unit`; `detail` names the layer or stage meant, `crop` whose it is. */
export const closed = z.strictObject({
  reason: z.enum(closedReasons),
  given: z.number().nullable(),
  limit: z.number().nullable(),
  unit: z.string(),
  detail: z.string().optional(),
  crop: slug().optional(),
});
export type Closed = z.infer<typeof closed>;

/** What keeps any shallow tool out, whatever the crop and the weeds. */
export const groundReason = closed.shape.reason.extract([
  'soil-frozen',
  'snow-lies',
  'soil-too-wet',
  'surface-too-wet',
  'rain-that-day',
]);
export type GroundReason = z.infer<typeof groundReason>;

/** Stirring and regrowth may carry a stock beyond 1. */
const stageKill = z.strictObject({
  stage: z.enum(weedStages),
  stockFrac: z.number().min(0).meta({ unit: '1' }),
  kill: killRange,
});

/**
 * What hours wait for: the light, the ground or the dew of the morning, midday where the stems of the crop are turgid and
 * snap before it, the end of the heat.
 */
export const waits = ['light', 'thaw', 'dew', 'midday', 'heat'] as const;

/** What hours end with: the dark, the dew of the evening, the heat. */
export const ends = ['dark', 'dew', 'heat'] as const;

/** One implement on one day. */
export const windowDay = z.strictObject({
  date: civilDate(),
  implement: slug(),
  open: z.boolean(),
  /** Every reason, not the first; empty when open. */
  closed: z.array(closed),
  /**
   * Best hours of the day, from and to as milliseconds since 1970 UTC; the border writes them in the site's time. `count`
   * is less than their distance where rain takes its share; `after` is what they wait for, `until` what ends them. Null when there are none.
   */
  hours: z
    .strictObject({
      fromMs: z.number().meta({ unit: 'ms' }),
      toMs: z.number().meta({ unit: 'ms' }),
      count: z.number().min(0).max(24).meta({ unit: 'h' }),
      after: z.enum(waits),
      until: z.enum(ends),
    })
    .nullable(),
  /** Expected kill, of what lives that morning, all species weighted by density and competition. */
  kill: killRange,
  /** This and the next are empty on a closed day, and leave out what holds less than 0.0001. By stage, all species together: what lives, as share of the weed year, and the share of it killed. */
  byStage: z.array(stageKill),
  /** By species: share of what lives that the pass kills, and what is left of it, as share of the weed year. */
  bySpecies: z.array(
    z.strictObject({ species: slug(), kill: killRange, leftFrac: z.number().min(0).meta({ unit: '1' }) }),
  ),
  /** Share of the plants that the pass costs; of the crop that loses most, where several stand. */
  standLossFrac: frac(),
  /** Share of the yield that a harrow costs by covering a crop that lives on; of the crop that loses most. */
  coverLossFrac: frac(),
  /** 0 to 100; ranks days and implements of one field. 0 on a closed day. */
  score: z.number().min(0).max(100).meta({ unit: '1' }),
  /** What waiting one day changes; null on the last day asked for. */
  wait: z
    .strictObject({
      /** This and the next are null where only rain that nobody has forecast yet keeps the next day closed. */
      opensNextDay: z.boolean().nullable(),
      scoreChange: z.number().nullable(),
      /** Share of the weed year that grows out of the white thread by then. */
      outOfWhiteThreadFrac: frac(),
    })
    .nullable(),
  /** Weather of that day and the next: observed, forecast, filled. */
  weatherOrigin: z.enum(['observed', 'forecast', 'interpolated', 'climatology']),
  hazards: z.array(z.enum(hazards)),
});
export type WindowDay = z.infer<typeof windowDay>;

/** Open days in a row for one implement. */
export const passWindow = z.strictObject({
  implement: slug(),
  from: civilDate(),
  to: civilDate(),
  /** Of days with scores alike, the earlier; null where the pass saves no more of this year's yield than it costs on all of them (score 0). */
  bestDate: civilDate().nullable(),
  bestScore: z.number().min(0).max(100).meta({ unit: '1' }),
});
export type PassWindow = z.infer<typeof passWindow>;
