import { z } from 'zod';
import {
  areaHa,
  civilDate,
  frac,
  lengthCm,
  lineText,
  slug,
  speedKmh,
  tempC,
  wholeDays,
  widthM,
} from '../base/quantity.ts';
import { eachOnce, pass } from '../base/schema.ts';
import { crop, endedPlanting, planting } from '../crop/schema.ts';
import { soil } from '../soil/schema.ts';
import { dailyWeather, dayOrigins, site } from '../weather/schema.ts';
import { expectedWeeds, species, weedStages } from '../weeds/schema.ts';
import { groundReason, implement, passWindow, windowDay } from '../windows/schema.ts';

/** An implement that is owned: the catalogue's, with what differs on this farm. */
export const ownedImplement = z.strictObject({
  id: slug(),
  widthM: widthM().optional(),
  speedKmh: speedKmh().optional(),
  fieldEfficiencyFrac: frac().optional(),
});

/** More than any farm has in its yard. */
const MOST_IMPLEMENTS = 100;

/** Crops that can have ended in the two years or so of weather that anything here stands on. */
export const MOST_ENDED = 20;

/** One field and everything known about it: the whole input of `outlook`. */
export const fieldRequest = z.strictObject({
  name: lineText().default('field'),
  areaHa: areaHa().optional(),
  site,
  soil,
  weather: dailyWeather,
  today: civilDate(),
  planting: planting.optional(),
  /** Crops that stand in the field with it, as one sown under the cover of the other: windows spare each. */
  companions: z.array(planting).max(10).default([]),
  /** Crops that stood here before, whose shade the soil was under until they ended: they close no window. */
  endedPlantings: z.array(endedPlanting).max(MOST_ENDED).default([]),
  /** Full-width seedbed cultivations that were made; each kills what has germinated. */
  seedbedDates: z.array(civilDate()).max(50).default([]),
  weeds: expectedWeeds,
  passes: z.array(pass).max(200).default([]),
  implements: z.array(ownedImplement).min(1).max(MOST_IMPLEMENTS),
  /** Windows are given for today and so many days after it, as far as the weather reaches. */
  horizonDays: wholeDays().default(14),
  ownSpecies: z.array(species).max(50).superRefine(eachOnce('id')).default([]),
  ownCrops: z.array(crop).max(20).superRefine(eachOnce('id')).default([]),
  ownImplements: z.array(implement).max(MOST_IMPLEMENTS).superRefine(eachOnce('id')).default([]),
});
export type FieldRequest = z.output<typeof fieldRequest>;
export type FieldInput = z.input<typeof fieldRequest>;

/** A date that is never naked: by how many days it may be off either way. */
export const datedBand = z.strictObject({ date: civilDate(), earliest: civilDate(), latest: civilDate() });
export type DatedBand = z.infer<typeof datedBand>;

/** The same of something that may yet come much later: `latest` is null where the weather ends before it is known. */
export const openBand = datedBand.extend({ latest: civilDate().nullable() });
export type OpenBand = z.infer<typeof openBand>;

/** A wave of seedlings. */
export const flush = z.strictObject({
  start: datedBand,
  peak: openBand,
  end: openBand,
  /** Share of all the weed year's expected seedlings that this wave holds, as far as the weather is known. */
  shareFrac: frac(),
  /** The wave still runs where the weather ends: its peak may come later, so its dates are open, and it will hold more. */
  goesOn: z.boolean(),
  species: z.array(z.strictObject({ species: slug(), shareFrac: frac() })),
  /** Days on which its white-thread stock is highest: the days to aim for. */
  whiteThreadFrom: openBand,
  whiteThreadPeak: openBand,
  whiteThreadTo: openBand,
});
export type Flush = z.infer<typeof flush>;

const dayColumn = z.array(z.number());

/** Where a crop stands today, and its dates. */
const cropAnswer = z.strictObject({
  crop: slug(),
  emergence: datedBand.nullable(),
  stageToday: z.string(),
  stages: z.array(z.strictObject({ stage: z.string(), reached: datedBand })),
  heightCm: lengthCm(),
  coverFrac: frac(),
  shootTipDepthCm: z.number().nullable(),
  tenderNow: z.string().nullable(),
  canopyCloses: datedBand.nullable(),
  leaf: z.array(z.number().nullable()),
});
export type CropAnswer = z.infer<typeof cropAnswer>;

export const outlook = z.strictObject({
  name: z.string(),
  today: civilDate(),
  /** What the reader should know before trusting the rest: filled weather, late start, latitude outside the evidence. */
  notes: z.array(z.strictObject({ code: slug(), text: z.string() })),
  soil: z.strictObject({
    startDate: civilDate(),
    temp5MeanC: dayColumn,
    temp5MaxC: dayColumn,
    temp5MinC: dayColumn,
    temp10MeanC: dayColumn,
    /** Water of 0-2.5 and 2.5-7.5 cm, and its potential, in the evening. */
    surfaceWaterM3PerM3: dayColumn,
    seedbedWaterM3PerM3: dayColumn,
    surfacePotentialMPa: dayColumn,
    seedbedPotentialMPa: dayColumn,
    snowMm: dayColumn,
    frozen: z.array(z.boolean()),
    crusted: z.array(z.boolean()),
    /** Whether a shallow tool could go, whatever the crop and the weeds: by the ground of the morning and the rain of the day. */
    workable: z.array(z.boolean()),
    /** Why it could not: the first reason; null where it could. */
    unworkableBy: z.array(groundReason.nullable()),
    weatherOrigin: z.array(z.enum(dayOrigins)),
    fieldCapacityM3PerM3: z.number(),
    wiltingPointM3PerM3: z.number(),
  }),
  emergence: z.array(
    z.strictObject({
      species: slug(),
      commonName: z.string(),
      /** Sums since the first shown morning; 1 is what an undisturbed year sends up, so stirred ground may pass it. */
      emergedFrac: dayColumn,
      potentialFrac: dayColumn,
      /**
       * Shares of what the species sends up from this day on, a year, stirring included: how much is up today, and when. Seedlings
       * that passes killed, as white threads too, count as come up: what stands is `stock`.
       */
      yearFrom: civilDate(),
      upFrac: frac(),
      /** null where the series ends before, or began after. */
      p10: datedBand.nullable(),
      p50: datedBand.nullable(),
      p90: datedBand.nullable(),
      /** When the first of what stands, but for the oldest twentieth, sets seed that grows; where nothing stands, of early plants. */
      seedSetDeadline: datedBand,
      /** Share of what stands whose day is past: it may hold seed that grows. */
      pastSeedSetFrac: frac(),
      stock: z.array(z.strictObject({ stage: z.enum(weedStages), stockFrac: z.number().min(0) })),
    }),
  ),
  flushes: z.array(flush),
  crop: cropAnswer.nullable(),
  /** In the order given. */
  companions: z.array(cropAnswer),
  /** Without days on which a pass is named: `windowDays` tell those as they were before it. */
  windows: z.array(passWindow),
  /** Of all `windows`, a machine before a crew; null where nothing is open that saves more than it costs. */
  best: windowDay.pick({ date: true, implement: true, score: true }).nullable(),
  windowDays: z.array(windowDay),
  cautions: z.array(z.strictObject({ hazard: z.string(), text: z.string() })),
  /** Mean soil temperature at 5 cm of the last seven observed days, for a quick check against a thermometer. */
  lastWeekTemp5C: tempC().nullable(),
});
export type Outlook = z.infer<typeof outlook>;
