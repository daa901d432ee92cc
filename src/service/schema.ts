import { z } from 'zod';
import { civilDate, lineText, rainMm, tempC } from '../core/base/quantity.ts';
import { problem } from '../core/base/schema.ts';
import { fieldRequest, flush, outlook } from '../core/outlook/schema.ts';
import { dailyWeather, dayOrigins, site } from '../core/weather/schema.ts';
import { ends, waits, windowDay } from '../core/windows/schema.ts';
import { forecastBy, observedBy, station } from './records/schema.ts';

/** Weather that the server fetches, by the ids of its sources: an address is never a caller's. */
export const weatherFrom = z
  .strictObject({
    observed: z.enum(observedBy).exclude(['posted']).optional(),
    forecast: z.enum(forecastBy).exclude(['none']).optional(),
    sourceStation: station.shape.sourceStation,
  })
  .refine(({ observed, forecast }) => observed !== undefined || forecast !== undefined, {
    error: 'observed, forecast or both',
  });

/** A field that comes without its weather. */
export const sourcedRequest = fieldRequest.omit({ weather: true }).extend({ weatherFrom });
export type SourcedRequest = z.output<typeof sourcedRequest>;

/** A field of a farm file: what of the request is the field's own. */
const farmField = fieldRequest
  .pick({
    name: true,
    areaHa: true,
    soil: true,
    planting: true,
    companions: true,
    endedPlantings: true,
    seedbedDates: true,
    weeds: true,
    passes: true,
    ownSpecies: true,
    ownCrops: true,
    ownImplements: true,
  })
  .extend({
    /** Without it, the farm's. */
    implements: fieldRequest.shape.implements.optional(),
  });

/** A farm file: one place, one weather, the machines, the fields. */
export const farmFile = z.strictObject({
  name: lineText(),
  ...site.shape,
  /** Path of a weather file, from the farm file's folder, or the daily weather itself. */
  weather: z.union([z.string().min(1), dailyWeather], {
    error: 'the path of a weather file, or daily weather with startDate, tempMaxC, tempMinC and rainMm',
  }),
  implements: fieldRequest.shape.implements,
  fields: z.array(farmField).min(1).max(500),
});
export type FarmFile = z.output<typeof farmFile>;

const instant = () => z.iso.datetime({ offset: true });

/** A window day with its hours written in the site's own time. */
export const shownWindowDay = windowDay.extend({
  hours: z
    .strictObject({
      from: instant(),
      to: instant(),
      count: z.number().min(0).max(24).meta({ unit: 'h' }),
      after: z.enum(waits),
      until: z.enum(ends),
    })
    .nullable(),
});
export type ShownWindowDay = Readonly<z.infer<typeof shownWindowDay>>;

/** What `outlook --format json` writes. */
export const shownOutlook = outlook.extend({ windowDays: z.array(shownWindowDay) });
export type ShownOutlook = Readonly<z.infer<typeof shownOutlook>>;

const skyDays = z.array(
  z.strictObject({
    date: civilDate(),
    tempMaxC: tempC().nullable(),
    tempMinC: tempC().nullable(),
    rainMm: rainMm().nullable(),
    origin: z.enum(dayOrigins),
  }),
);

/** A crop without its daily column. */
const cropNow = outlook.shape.crop.unwrap().omit({ leaf: true });

/** What `tomorrow --format json` writes. */
export const tomorrowAnswer = z.strictObject({
  farm: z.string(),
  /** True for the demo farm, whose weather and fields are made up. */
  invented: z.boolean(),
  today: civilDate(),
  timeZone: z.string(),
  /** What was assumed where nothing was given, and what was odd in the weather file. */
  remarks: z.array(z.string()),
  weather: skyDays,
  fields: z.array(
    z.strictObject({
      /** Of a stored field. */
      id: z.string().optional(),
      name: z.string(),
      areaHa: fieldRequest.shape.areaHa,
      crop: cropNow.nullable(),
      companions: z.array(cropNow),
      /** The wave of seedlings that has peaked, as far as is known, and has not ended; null where none has. */
      runningFlush: flush.nullable(),
      /** The wave whose peak comes next; null where none does within the weather. */
      nextFlush: flush.nullable(),
      windows: outlook.shape.windows,
      best: outlook.shape.best,
      windowDays: z.array(shownWindowDay),
      cautions: outlook.shape.cautions,
      notes: outlook.shape.notes,
      /** Of a stored field: those of the farm's remarks that are about it and its weather. */
      remarks: z.array(z.string()).optional(),
      /** Where it is another than that of the farm: of another station. */
      weather: skyDays.optional(),
    }),
  ),
  /** Fields for which there is no answer, and why. */
  failed: z.array(
    z.strictObject({
      id: z.string().optional(),
      name: z.string(),
      problems: z.array(problem),
    }),
  ),
});
export type TomorrowAnswer = Readonly<z.infer<typeof tomorrowAnswer>>;
