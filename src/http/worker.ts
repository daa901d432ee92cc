import { loadCatalogue } from '../catalogue/load.ts';
import { isWhitethreadError, type Problem, whitethreadError } from '../core/base/errors.ts';
import { outlook } from '../core/outlook/outlook.ts';
import type { FieldInput } from '../core/outlook/schema.ts';
import { csvText } from '../report/csv.ts';
import { outlookRows, outlookText } from '../report/outlookText.ts';
import { inUsUnits, type Units } from '../report/units.ts';
import { fieldTomorrow, shownOutlook } from '../service/answer.ts';
import type { FieldTomorrow } from '../service/contract.ts';

/** What is asked of a worker; a field as text is what came in with a request. */
export type Task =
  | {
      readonly kind: 'outlook';
      readonly field: FieldInput | string;
      readonly format: 'json' | 'csv' | 'text';
      readonly units: Units;
    }
  | { readonly kind: 'tomorrow'; readonly field: FieldInput };

/** Errors do not keep their problems on the way between threads, so they come as an answer. */
export type Done =
  | { readonly bytes: Uint8Array }
  | { readonly tomorrow: FieldTomorrow }
  | { readonly problems: readonly Problem[] };

const catalogue = loadCatalogue();
const encoder = new TextEncoder();

const parsedField = (field: FieldInput | string): FieldInput => {
  if (typeof field !== 'string') return field;
  try {
    return JSON.parse(field) as FieldInput;
  } catch (error) {
    const given = error instanceof Error ? error.message : 'no JSON';
    throw whitethreadError([{ code: 'invalid-input', where: 'body', given, allowed: 'JSON' }]);
  }
};

const outlookBytes = ({ field, format, units }: Extract<Task, { kind: 'outlook' }>): Uint8Array => {
  const input = parsedField(field);
  const told = outlook(input, catalogue);
  const timeZone = input.site.timeZone ?? 'UTC';
  const shown = shownOutlook(told, timeZone);
  const inUnits = <T>(data: T): T => (units === 'us' ? (inUsUnits(data) as T) : data);
  if (format === 'json') return encoder.encode(JSON.stringify(inUnits(shown)));
  if (format === 'csv') return encoder.encode(`${csvText(inUnits(outlookRows(shown)))}\r\n`);
  const head = { name: told.name, invented: false, timeZone, today: told.today, remarks: [], fields: [] };
  return encoder.encode(`${outlookText(shown, head, units)}\n`);
};

/** One task, on the thread of a worker. */
export const work = (task: Task): Done => {
  try {
    if (task.kind === 'outlook') return { bytes: outlookBytes(task) };
    return { tomorrow: fieldTomorrow(task.field, outlook(task.field, catalogue)) };
  } catch (error) {
    if (isWhitethreadError(error)) return { problems: error.problems };
    throw error;
  }
};
