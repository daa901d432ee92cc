import { z } from 'zod';
import { civilDate, slug } from '../core/base/quantity.ts';
import { fieldRequest } from '../core/outlook/schema.ts';
import * as records from '../service/records/schema.ts';
import { sourcedRequest } from '../service/schema.ts';

const instant = () => z.iso.datetime({ offset: true });

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

export const keyRequest = z.strictObject({
  role: z.enum(['reader', 'planner', 'keeper']),
  label: z.string().min(1).max(200),
  expiresAt: instant().optional(),
});
export const operatorKeyRequest = keyRequest.extend({ role: z.literal('operator') });

/** A field with its weather, or with the sources that have it. */
export const sentField = z.union([fieldRequest, sourcedRequest]);
export const batchRequest = z.strictObject({ fields: z.array(sentField).min(1).max(100) });
