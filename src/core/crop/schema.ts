import { z } from 'zod';
import { civilDate, days, depthCm, frac, heatCd, lengthCm, lineText, rowCm, slug, tempC } from '../base/quantity.ts';

/** Leaves (collars, nodes, leaves) on the main stem, counted as `crop.leaf.name` says; 0 is emergence. */
const leafNumber = () => z.number().min(0).max(30).meta({ unit: 'leaves' });

/** Break points of a curve: pairs of leaf number and value, leaf numbers ascending; straight lines between. */
const curve = <T extends z.ZodType>(value: T) => z.array(z.tuple([leafNumber(), value])).min(2);
/** When an implement may enter this crop after emergence. */
export const tolerance = z.strictObject({
  implement: slug(),
  fromLeaf: leafNumber(),
  toLeaf: leafNumber(),
  leastHeightCm: lengthCm().optional(),
  mostHeightCm: lengthCm().optional(),
  /** Passes of this implement in this crop since it came up. */
  mostPasses: z.int().positive().optional(),
  /** The same since it was sown, blind passes among them. */
  mostPassesSinceSowing: z.int().positive().optional(),
  /** Turgid stems snap: only after midday. */
  afternoonOnly: z.boolean().default(false),
  /** Rows narrower than this cannot be entered. */
  leastRowCm: lengthCm().optional(),
  /** Share of the stand that a pass costs. */
  standLossFrac: frac(),
  /**
   * For a harrow that covers the crop with soil: weed control W and covered crop C go together, 1 - W = (1 - C)^selectivity,
   * and the yield falls in proportion to C. Where given, `toleranceCost` uses it in place of `standLossFrac`.
   */
  covering: z
    .strictObject({
      selectivity: z.number().min(1).max(100).meta({ unit: '1' }),
      yieldLossAtQuarterCoverFrac: frac(),
    })
    .optional(),
});
export type Tolerance = z.infer<typeof tolerance>;

export const crop = z.strictObject({
  id: slug(),
  name: lineText(),
  /** How deep it is usually planted, and how deep it may be. */
  plantingDepthCm: z.strictObject({ least: depthCm(), usual: depthCm(), most: depthCm() }),
  usualRowCm: lengthCm(),
  /** Sowing to emergence on soil temperature: lagCd + perCmCd x depth. */
  emergence: z.strictObject({ baseTempC: tempC(), upperTempC: tempC(), lagCd: heatCd(), perCmCd: heatCd() }),
  /**
   * The leaf clock. `heatCd` gives the heat sum since emergence at each leaf number. Soil temperature drives it up to
   * `soilUntilLeaf`, while the growing point is below ground; air temperature after that.
   */
  leaf: z.strictObject({
    name: lineText(),
    baseTempC: tempC(),
    upperTempC: tempC(),
    soilUntilLeaf: leafNumber(),
    heatCd: curve(heatCd()),
  }),
  /** Names that growers use for leaf numbers, ascending, such as VE 0, V1 1. */
  stages: z.array(z.strictObject({ name: lineText(), leaf: leafNumber() })).min(1),
  heightCm: curve(lengthCm()),
  /** Share of the ground that the crop shades, at the usual row width. */
  coverFrac: curve(frac()),
  /** Shoot-tip rule for blind passes before emergence; null where none may be made. */
  blind: z
    .strictObject({
      /** The shoot tip must be this far below the working depth. Null for a crop whose hook cannot be placed that way. */
      tipMarginCm: depthCm().nullable(),
      /** Share of the sowing-to-emergence heat after which blind passes end, for such a crop. */
      closesAtHeatFrac: frac(),
      /** A pass on the planted seed needs it to lie at least so deep. */
      leastSeedDepthCm: depthCm(),
      implements: z.array(slug()),
      standLossFrac: frac(),
    })
    .nullable(),
  /** Stages at which hoes do harm, by the name the trade uses, such as "hook". From and to in leaves; 0 to 0.3 is the days around emergence. */
  tender: z.array(
    z.strictObject({
      name: lineText(),
      fromLeaf: z.number().min(-1).max(30).meta({ unit: 'leaves' }),
      toLeaf: leafNumber(),
    }),
  ),
  tolerances: z.array(tolerance),
  /** Weeds that came up with the crop and stay to this leaf cost 5 % of the yield: the critical time of weed removal. */
  criticalRemovalLeaf: leafNumber().default(3),
  /** Whole-season stand loss that the yield forgives. */
  forgivenStandLossFrac: frac(),
  /** Share of the heat sum by which a stage may be off. */
  heatUncertaintyFrac: frac(),
  /**
   * An autumn crop stays at this leaf, tillering, until it has had so many days with a mean at or below this
   * temperature, or until the next spring (rest.ts). Without it the leaf clock runs on through a long warm autumn and the
   * stem would rise before winter.
   */
  winterRest: z.strictObject({ leaf: leafNumber(), coldDays: days(), coldTempC: tempC() }).optional(),
  /** Autumn-sown crops start their season in the year before harvest. */
  sownIn: z.enum(['spring', 'autumn']),
});
export type Crop = z.infer<typeof crop>;

/** What was sown, or is planned. */
export const planting = z.strictObject({
  crop: slug(),
  date: civilDate(),
  depthCm: depthCm().optional(),
  rowCm: rowCm().optional(),
});
export type Planting = Readonly<z.infer<typeof planting>>;

/** What was sown and is gone: harvested, failed or ploughed in on its last day. */
export const endedPlanting = planting.extend({ endedOn: civilDate() }).refine(({ date, endedOn }) => endedOn >= date, {
  error: 'a day that is not before `date`',
  path: ['endedOn'],
});
