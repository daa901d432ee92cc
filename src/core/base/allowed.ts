/** What a check of a schema found wrong, as far as words need it. */
type Finding = {
  readonly code?: string | undefined;
  readonly expected?: unknown;
  readonly values?: unknown;
  readonly origin?: unknown;
  readonly minimum?: unknown;
  readonly maximum?: unknown;
  readonly inclusive?: unknown;
  readonly format?: unknown;
  readonly pattern?: unknown;
  readonly inst?: unknown;
};

const types: Readonly<Record<string, string>> = {
  object: 'an object',
  record: 'an object',
  array: 'a list',
  tuple: 'a list',
  string: 'text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
};

const formats: Readonly<Record<string, string>> = {
  date: 'a date YYYY-MM-DD',
  datetime: 'an instant such as 2026-05-12T06:00:00Z',
  url: 'a web address',
};

const counted = (count: unknown, one: string): string => `${count} ${one}${count === 1 ? '' : 's'}`;

const bound = ({ origin, inclusive }: Finding, limit: unknown, atLimit: string, beyond: string): string | undefined => {
  if (origin === 'array') return `${atLimit} ${counted(limit, 'item')}`;
  if (origin === 'string') return `${atLimit} ${counted(limit, 'character')}`;
  if (origin === 'number' || origin === 'int') return `a number ${inclusive === false ? beyond : atLimit} ${limit}`;
  return undefined;
};

const namesOf = (inst: unknown): string =>
  Object.keys((inst as { readonly shape?: object } | undefined)?.shape ?? {}).join(', ');

const valuesText = (values: unknown): string => {
  const all = Array.isArray(values) ? values : [];
  return all.length === 1 ? String(all[0]) : `one of ${all.join(', ')}`;
};

/**
 * What would have been allowed, in the words of the errors of this library; undefined for the checker's own words. A
 * schema that says it better in an `error` of its own goes before.
 * @example allowedText({ code: 'too_small', origin: 'array', minimum: 1 }) // 'at least 1 item'
 */
export const allowedText = (finding: Finding): string | undefined => {
  if (finding.code === 'invalid_type') return types[String(finding.expected)];
  if (finding.code === 'invalid_value') return valuesText(finding.values);
  if (finding.code === 'too_small') return bound(finding, finding.minimum, 'at least', 'above');
  if (finding.code === 'too_big') return bound(finding, finding.maximum, 'at most', 'below');
  if (finding.code === 'invalid_format')
    return formats[String(finding.format)] ?? `text of the form ${finding.pattern}`;
  if (finding.code === 'unrecognized_keys') {
    const names = namesOf(finding.inst);
    return names === '' ? 'no name at all' : `one of the names ${names}`;
  }
  return undefined;
};
