import { z } from 'zod';
import { errorCodes } from '../core/base/errors.ts';
import { areaHa, civilDate, depthCm, rainMm, slug, tempC } from '../core/base/quantity.ts';
import { crop } from '../core/crop/schema.ts';
import { fieldRequest, outlook } from '../core/outlook/schema.ts';
import { dailyWeather } from '../core/weather/schema.ts';
import { species } from '../core/weeds/schema.ts';
import { implement } from '../core/windows/schema.ts';
import * as records from '../service/records/schema.ts';
import { shownOutlook, tomorrowAnswer } from '../service/schema.ts';
import { roles } from '../store/contract.ts';

/** RFC 9457, and every problem that was found. */
export const problem = z.strictObject({
  type: z.string(),
  title: z.string(),
  status: z.number().int(),
  detail: z.string(),
  instance: z.string(),
  problems: z.array(
    z.strictObject({
      code: z.enum(errorCodes),
      where: z.string(),
      given: z.string(),
      allowed: z.string(),
      advice: z.string().optional(),
    }),
  ),
});

const instant = () => z.iso.datetime({ offset: true });
export const instantOrNull = instant().nullable();

export const unitsQuery = z.strictObject({ units: z.enum(['metric', 'us']).default('metric') });

/** Without `units`, the farm's own. */
export const answerQuery = z.strictObject({
  on: civilDate().optional(),
  days: z.coerce.number().int().min(0).max(14).default(5),
  units: z.enum(['metric', 'us']).optional(),
});

export const outlookQuery = answerQuery.extend({ days: z.coerce.number().int().min(0).max(60).default(14) });

export const pageQuery = z.strictObject({
  cursor: records.recordId().optional(),
  limit: z.coerce.number().int().min(1).max(200).default(50),
});
export const childQuery = pageQuery.extend({ fieldId: records.recordId().optional() });

export const historyQuery = z.strictObject({
  cursor: z.coerce.number().int().min(0).max(Number.MAX_SAFE_INTEGER).optional(),
  limit: z.coerce.number().int().min(1).max(200).default(50),
  kind: z.enum(['farm', 'weather', ...(Object.keys(records.recordKinds) as [records.RecordKind])]).optional(),
  id: records.recordId().optional(),
});

export const spanQuery = z
  .strictObject({ from: civilDate().optional(), to: civilDate().optional() })
  .refine(({ from, to }) => from === undefined || to === undefined || from <= to, {
    error: 'a day that is not before `from`',
    path: ['to'],
  });

export const farmParams = z.strictObject({ farmId: records.recordId() });
export const recordParams = farmParams.extend({ id: records.recordId() });
export const keyParams = z.strictObject({ keyId: z.string().regex(/^[0-9A-Za-z_-]{4,64}$/) });
export const farmKeyParams = farmParams.extend(keyParams.shape);
/** Names a request, so that it can be sent again without being done again. */
export const onceHeaders = z.looseObject({ 'idempotency-key': z.string().min(1).max(200).optional() });
/** Optional here, so that its absence gets its own problem. */
export const ifMatchHeaders = z.looseObject({ 'if-match': z.string().max(80).optional() });
export const catalogueParts = ['species', 'crops', 'implements'] as const;
export const partParams = z.strictObject({ part: z.enum(catalogueParts) });
export const entryParams = partParams.extend({ id: slug() });

export const catalogueEntries = z.strictObject({
  items: z.array(z.strictObject({ id: slug(), name: z.string() })),
});
/** `origin`: path of a value within the entry, to where it comes from. */
export const catalogueEntry = z.strictObject({
  entry: z.union([species, crop, implement]),
  origin: z.record(
    z.string(),
    z.looseObject({ unit: z.string(), basis: z.enum(['published', 'derived', 'default']), source: slug().optional() }),
  ),
});

/** A record as it is read: what was sent is `data`, with the defaults filled in. */
export const recordOf = <T extends z.ZodType>(data: T) =>
  z.strictObject({
    id: records.recordId(),
    version: z.number().int().min(1),
    createdAt: instant(),
    changedAt: instant(),
    data,
  });
/** `next` is the cursor of the following page; null on the last. */
export const listOf = <T extends z.ZodType>(item: T) =>
  z.strictObject({ items: z.array(item), next: z.string().nullable() });

export const keyRequest = z.strictObject({
  role: z.enum(['reader', 'planner', 'keeper']),
  label: z.string().min(1).max(200),
  expiresAt: instant().optional(),
});
export const operatorKeyRequest = keyRequest.extend({ role: z.literal('operator') });
export const keyShown = z.strictObject({
  id: z.string(),
  farmId: z.string().nullable(),
  role: z.enum(roles),
  label: z.string(),
  createdAt: instant(),
  expiresAt: instantOrNull,
  revokedAt: instantOrNull,
});
/** The only time that a key is shown. */
export const keyMade = keyShown.extend({ key: z.string() });
export const keyList = z.strictObject({ items: z.array(keyShown) });

export const historyEntry = z.strictObject({
  seq: z.number().int(),
  kind: z.string(),
  id: z.string(),
  version: z.number().int(),
  action: z.enum(['create', 'change', 'remove']),
  keyId: z.string(),
  at: instant(),
  /** As it was from then on; null after a removal. */
  data: z.unknown(),
});

/** What is odd is no error: the series is kept, and the findings say what to look at. */
export const weatherKept = z.strictObject({ version: z.number().int().min(1), findings: z.array(z.string()) });

export const batchRequest = z.strictObject({ fields: z.array(fieldRequest).min(1).max(100) });
export const batchFault = z.strictObject({ problems: problem.shape.problems });
export const batchAnswer = z.strictObject({
  outlooks: z.array(z.union([z.strictObject({ outlook: shownOutlook }), batchFault])),
});
export const batchLine = z.union([
  z.strictObject({ index: z.number().int(), outlook: shownOutlook }),
  batchFault.extend({ index: z.number().int() }),
]);

const known = () => z.string().nullable();
/** What is not known of a pass is null. */
export const passRecordAnswer = z.strictObject({
  items: z.array(
    z.strictObject({
      date: civilDate(),
      field: z.string(),
      areaHa: areaHa().nullable(),
      operation: z.string(),
      implement: z.string(),
      operator: known(),
      depthCm: depthCm().nullable(),
      crop: known(),
      cropStage: known(),
      tempMaxC: tempC().nullable(),
      tempMinC: tempC().nullable(),
      rainMm: rainMm().nullable(),
      weedsExpected: known(),
      weedsCounted: known(),
      note: known(),
    }),
  ),
});

export const credit = z.strictObject({
  source: z.string(),
  credit: z.string(),
  licence: z.string(),
  url: z.string(),
  stale: z.boolean(),
});
export const creditedTomorrow = tomorrowAnswer.extend({ credits: z.array(credit) });
export const creditedOutlook = shownOutlook.extend({ credits: z.array(credit) });

export const state = z.strictObject({ status: z.enum(['ok', 'ready']) });
export const text = z.string();
/** A 204 has no body. */
export const nothing = z.undefined();

/** Schemas that the OpenAPI document names once and refers to. */
const named = {
  Problem: problem,
  Species: species,
  Crop: crop,
  Implement: implement,
  DailyWeather: dailyWeather,
  FieldRequest: fieldRequest,
  Outlook: outlook,
  ShownOutlook: shownOutlook,
  Tomorrow: tomorrowAnswer,
  Geometry: records.geometry,
  Farm: records.farm,
  Field: records.field,
  Machine: records.machine,
  Crew: records.crew,
  Station: records.station,
  Planting: records.planting,
  Pass: records.passMade,
  Count: records.count,
  Key: keyShown,
} as const;
for (const [id, schema] of Object.entries(named)) z.globalRegistry.add(schema, { id });
