import { z } from 'zod';
import { civilDate, lineText, slug } from '../core/base/quantity.ts';
import { fieldRequest } from '../core/outlook/schema.ts';
import * as records from '../service/records/schema.ts';
import { sourcedRequest } from '../service/schema.ts';

const instant = () => z.iso.datetime({ offset: true });

const units = () => z.enum(['metric', 'us']).describe('Units of the answer');

/** Where nothing can be asked for. */
export const noQuery = z.strictObject({});
export const unitsQuery = z.strictObject({ units: units().default('metric') });

const farmUnits = () => units().describe('Units of the answer; without it, those of the farm').optional();

const DIGITS = /^\d+$/;
/**
 * A whole number of a query. Number() alone would also take nothing, a blank, 0x3 and 1e1 for one. A check that sets the
 * value, since behind a transform the form would lose its default.
 */
const whole = (low: number, high: number) =>
  z
    .unknown()
    .check((given) => {
      const { value, issues } = given;
      const number = typeof value === 'string' && DIGITS.test(value) ? Number(value) : Number.NaN;
      if (number >= low && number <= high) given.value = number;
      else issues.push({ code: 'custom', message: `a whole number from ${low} to ${high}, in digits`, input: value });
    })
    .meta({ type: 'integer', minimum: low, maximum: high }) as unknown as z.ZodType<number>;

const daysAfter = (most: number) => whole(0, most).describe('Days after that day');

export const answerQuery = z.strictObject({
  on: civilDate().describe('The day that is asked for; without it, today in the time zone of the farm').optional(),
  days: daysAfter(14).default(5),
  units: farmUnits(),
});

export const outlookQuery = answerQuery.extend({ days: daysAfter(60).default(14) });

const limit = () => whole(1, 200).describe('Most items of the page').default(50);

export const pageQuery = z.strictObject({
  cursor: records.recordId().describe('`next` of the page before').optional(),
  limit: limit(),
});
export const childQuery = pageQuery.extend({
  fieldId: records.recordId().describe('Only what belongs to this field').optional(),
});

export const historyQuery = z.strictObject({
  cursor: whole(0, Number.MAX_SAFE_INTEGER).describe('`next` of the page before').optional(),
  limit: limit(),
  kind: z
    .enum(['farm', 'weather', ...(Object.keys(records.recordKinds) as [records.RecordKind])])
    .describe('Only records of this kind')
    .optional(),
  id: records.recordId().describe('Only the record with this id').optional(),
});

export const spanQuery = z
  .strictObject({
    from: civilDate().describe('First day').optional(),
    to: civilDate().describe('Last day').optional(),
    units: farmUnits(),
  })
  .refine(({ from, to }) => from === undefined || to === undefined || from <= to, {
    error: 'a day that is not before `from`',
    path: ['to'],
  });

export const farmParams = z.strictObject({ farmId: records.recordId().describe('The farm') });
export const recordParams = farmParams.extend({ id: records.recordId().describe('The record') });
export const keyParams = z.strictObject({
  keyId: z
    .string()
    .regex(/^[0-9A-Za-z_-]{4,64}$/, { error: 'the id of a key: 4 to 64 letters, digits, - or _' })
    .describe('The key: its id, not its secret'),
});
export const farmKeyParams = farmParams.extend(keyParams.shape);
export const onceHeaders = z.looseObject({
  'idempotency-key': z
    .string()
    .min(1)
    .max(200)
    .describe('A name for this request: sent again under it within seven days, it is not done again')
    .optional(),
});
/** Optional here, so that its absence gets its own problem. */
export const ifMatchHeaders = z.looseObject({
  'if-match': z
    .string()
    .max(400)
    .describe('ETag of the version that is meant, several of them, or * for whichever stands')
    .optional(),
});
/** Where a change may also be meant for whatever there is. */
export const mayMatchHeaders = z.looseObject({
  'if-match': z
    .string()
    .max(400)
    .describe(
      'ETag of the version that is meant, several of them, or * for whichever stands; without it, whatever there is',
    )
    .optional(),
  'if-none-match': z.string().max(80).describe('`*`: only where nothing is there yet').optional(),
});
export const catalogueParts = ['species', 'crops', 'implements'] as const;
export const partParams = z.strictObject({ part: z.enum(catalogueParts).describe('Part of the catalogue') });
export const entryParams = partParams.extend({ id: slug().describe('The entry') });

export const keyRequest = z.strictObject({
  role: z.enum(['reader', 'planner', 'keeper']),
  label: lineText(),
  expiresAt: instant().optional(),
});
export const operatorKeyRequest = keyRequest.extend({ role: z.literal('operator') });

/** A field with its weather, or with the sources that have it. */
export const sentField = z.union([fieldRequest, sourcedRequest]);
export const batchRequest = z.strictObject({ fields: z.array(sentField).min(1).max(100) });
