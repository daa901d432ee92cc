import { z } from 'zod';
import { areaHa, civilDate, depthCm, rainMm, slug, tempC } from '../../core/base/quantity.ts';
import * as base from '../../core/base/schema.ts';
import { crop } from '../../core/crop/schema.ts';
import { species } from '../../core/weeds/schema.ts';
import { implement } from '../../core/windows/schema.ts';
import { recordId } from '../../service/records/schema.ts';
import { shownOutlook, tomorrowAnswer } from '../../service/schema.ts';
import { roles } from '../../store/contract.ts';

/** RFC 9457, and every problem that was found. */
export const problem = z.strictObject({
  type: z.string().describe('Where the code is explained'),
  title: z.string(),
  status: z.number().int().min(400).max(599),
  detail: z.string().describe('The first problem as a sentence'),
  instance: z.string().describe('The id of the request, under which the log has it'),
  problems: z.array(base.problem),
});

const instant = () => z.iso.datetime({ offset: true });

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
    id: recordId(),
    version: z.number().int().min(1),
    createdAt: instant(),
    changedAt: instant(),
    data,
  });
/** `next` is the cursor of the following page; null on the last. */
export const listOf = <T extends z.ZodType>(item: T) =>
  z.strictObject({ items: z.array(item), next: z.string().nullable() });

export const keyShown = z.strictObject({
  id: z.string(),
  farmId: z.string().nullable(),
  role: z.enum(roles),
  label: z.string(),
  createdAt: instant(),
  expiresAt: instant().nullable(),
  revokedAt: instant().nullable(),
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

const known = () => z.string().nullable();
/** What is not known of a pass is null. */
export const passRecordAnswer = z.strictObject({
  items: z.array(
    z.strictObject({
      passId: recordId(),
      fieldId: recordId(),
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
      unknown: known(),
    }),
  ),
});

export const credit = z.strictObject({
  source: z.string(),
  credit: z.string(),
  licence: z.string(),
  url: z.string(),
  fetchedAt: instant(),
  stale: z.boolean(),
});
export const creditedTomorrow = tomorrowAnswer.extend({ credits: z.array(credit) });
/** Whose weather it is, and what of it could not be had. */
const standing = { credits: z.array(credit), remarks: z.array(z.string()) };
export const creditedOutlook = shownOutlook.extend(standing);
/** Of a field that is sent: with `credits` and `remarks` where the server fetched its weather. */
export const sentOutlook = shownOutlook.extend({
  credits: standing.credits.optional(),
  remarks: standing.remarks.optional(),
});

export const batchFault = z.strictObject({ problems: problem.shape.problems });
export const batchAnswer = z.strictObject({
  outlooks: z.array(z.union([z.strictObject({ outlook: sentOutlook }), batchFault])),
});
export const batchLine = z.union([
  z.strictObject({ index: z.number().int(), outlook: sentOutlook }),
  batchFault.extend({ index: z.number().int() }),
]);

export const state = z.strictObject({ status: z.enum(['ok', 'ready']) });
export const text = z.string();
export const openapiDocument = z.looseObject({ openapi: z.string() });
/** A 204 has no body. */
export const nothing = z.undefined();
