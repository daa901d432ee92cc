import { z } from 'zod';
import { days, depthCm, frac, heatCd, lineText, monthDay, potentialMPa, slug, tempC } from '../base/quantity.ts';
import { eachOnce } from '../base/schema.ts';

/**
 * What a pass can meet, youngest first. The white thread has germinated and is not yet up; leaf stages count true
 * leaves; above four leaves the height decides.
 */
export const weedStages = [
  'whiteThread',
  'cotyledon',
  'leaf1To2',
  'leaf3To4',
  'under10Cm',
  'from10To15Cm',
  'over15Cm',
] as const;
export type WeedStage = (typeof weedStages)[number];

/** One value per weed stage, in the order of `weedStages`. */
export const perStage = <T extends z.ZodType>(value: T) =>
  z.strictObject({
    whiteThread: value,
    cotyledon: value,
    leaf1To2: value,
    leaf3To4: value,
    under10Cm: value,
    from10To15Cm: value,
    over15Cm: value,
  });

/**
 * One wave of a species' year: from `start` on, hydrothermal time runs, and the share germinated is
 * shareFrac (1 - exp(-((time - lagCd) / scaleCd)^shape)).
 */
export const emergenceComponent = z.strictObject({
  season: z.enum(['spring', 'autumn']),
  /** Share of the year's seedlings; a species' components add up to 1. */
  shareFrac: frac(),
  /** Northern date from which heat counts; the south adds six months. */
  start: monthDay(),
  lagCd: heatCd(),
  scaleCd: heatCd().positive(),
  shape: z.number().min(0.3).max(10).meta({ unit: '1' }),
});
export type EmergenceComponent = Readonly<z.infer<typeof emergenceComponent>>;

export const species = z.strictObject({
  id: slug(),
  commonName: lineText(),
  latinName: lineText(),
  lifeForm: z.enum(['summerAnnual', 'winterAnnual', 'perennialShoot']),
  group: z.enum(['broadleaf', 'grass']),
  seedSize: z.enum(['small', 'medium', 'large']),
  germination: z.strictObject({
    baseTempC: tempC(),
    /** Heat above this counts as this. */
    optimumTempC: tempC(),
    /** Below this the layer's seeds wait; null where the evidence needs no moisture term. */
    basePotentialMPa: potentialMPa().nullable(),
    /** Share of the seedlings that come from the top 2.5 cm; the rest from 2.5-7.5 cm. */
    surfaceShareFrac: frac(),
    components: z.array(emergenceComponent).min(1).max(4),
  }),
  /** From germination to the surface: lagCd + perCmCd x depthCm above baseTempC. */
  elongation: z.strictObject({ baseTempC: tempC(), lagCd: heatCd(), perCmCd: heatCd(), depthCm: depthCm() }),
  /** Air-temperature clock after emergence. */
  leaf: z.strictObject({ baseTempC: tempC(), perLeafCd: heatCd().positive() }),
  /** Heat from emergence to 5, 10 and 15 cm, on the leaf clock's base; null for a plant that stays low. */
  height: z.strictObject({ to5CmCd: heatCd(), to10CmCd: heatCd(), to15CmCd: heatCd() }).nullable(),
  seedSet: z.strictObject({
    /** First flower of an early plant at 40 degrees north. */
    firstFlower: monthDay(),
    /** A late plant flowers at the earliest so many days after it came up. */
    leastDaysFromEmergence: days(),
    /** From first flower to the first seed that grows. */
    daysToViableSeed: days(),
  }),
  seedsPerPlant: z.number().positive().meta({ unit: 'seeds/plant' }),
  /** Share of the buried seed alive after a year. */
  seedSurvivalFrac: frac(),
  /** Harm to the crop of one plant that comes up with it, 0 to 10. */
  competitiveIndex: z.number().min(0).max(10).meta({ unit: '1' }),
  /** How much faster the seeds still waiting germinate right after the soil is stirred; 1 where studies saw no effect. */
  stirFactor: z.number().min(0.1).max(4).meta({ unit: '1' }),
  /** How far a date may be off, days, for 10, 50 and 90 % emerged at the reference place, and for 50 % elsewhere. */
  uncertaintyDays: z.strictObject({ p10: days(), p50: days(), p90: days(), elsewhere: days() }),
});
export type Species = z.infer<typeof species>;

/** Share killed of the weeds a tool reaches, good conditions: what to expect, and how far it varies. */
export const killRange = z.strictObject({ low: frac(), mean: frac(), high: frac() });

/**
 * What a pass kills. Each zone is a strip of the ground with its own action; shares of the zones add up to at most 1.
 * The factors multiply the kill.
 */
export const killProfile = z.strictObject({
  zones: z
    .array(
      z.strictObject({
        place: z.enum(['whole', 'betweenRows', 'inRow']),
        groundFrac: frac(),
        broadleaf: perStage(killRange),
        grass: perStage(killRange),
        /** Kills by covering: wet soil or rain does not undo it. */
        buries: z.boolean(),
      }),
    )
    .min(1),
  /** For seedlings rooted below the tool: large-seeded species, once germinated. */
  largeSeedFactor: frac(),
  /** For shoots from a root or rhizome. */
  perennialFactor: frac(),
  /** Soil wet at the pass. */
  wetBeforeFactor: frac(),
  /** 5 mm or more within a day after. */
  rainNextDayFactor: frac(),
  /** 5 mm or more on the second day after. */
  rainSecondDayFactor: frac(),
  /** The least that wet conditions leave of the kill. */
  wetFloorFactor: frac(),
  /** Ground more than 30 % under residue. */
  residueFactor: frac(),
  /** Crusted or cloddy ground. */
  crustFactor: frac(),
});
export type KillProfile = z.infer<typeof killProfile>;

export const MOST_DENSITY = 1000;

/** A species that is expected in a field, with a weight relative to the others. */
export const expectedWeed = z.strictObject({
  species: slug(),
  relativeDensity: z.number().positive().max(MOST_DENSITY).default(1).meta({ unit: '1' }),
});
export type ExpectedWeed = Readonly<z.infer<typeof expectedWeed>>;

/** Everything that is expected in a field: of a species named twice nobody could tell which weight is meant. */
export const expectedWeeds = z
  .array(expectedWeed)
  .min(1)
  .max(100)
  .superRefine(eachOnce('species'))
  .describe('Each species once');
