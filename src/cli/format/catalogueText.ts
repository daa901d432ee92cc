import type { Catalogue } from '../../catalogue/load.ts';
import type { Reference, Sourced } from '../../catalogue/schema.ts';
import { table, wrapped } from '../../report/table.ts';

export const kinds = ['species', 'crops', 'implements'] as const;
export type Kind = (typeof kinds)[number];

type ListRow = { readonly kind: Kind; readonly id: string; readonly name: string; readonly what: string };

const rowsOf: Readonly<Record<Kind, (catalogue: Catalogue) => Omit<ListRow, 'kind'>[]>> = {
  species: ({ species }) =>
    species.map((s) => ({
      id: s.id,
      name: s.latinName,
      what: `${lifeForms[s.lifeForm]}, ${s.group}`,
    })),
  crops: ({ crops }) => crops.map((c) => ({ id: c.id, name: c.name, what: `sown in ${c.sownIn}` })),
  implements: (catalogue) => catalogue.implements.map((i) => ({ id: i.id, name: i.name, what: i.action })),
};

const lifeForms = {
  summerAnnual: 'summer annual',
  winterAnnual: 'winter annual',
  perennialShoot: 'perennial, shoots',
} as const;

/** The entries of a kind. */
export const listRows = (catalogue: Catalogue, kind: Kind): ListRow[] =>
  rowsOf[kind](catalogue).map((row) => ({ kind, ...row }));

/** A list for each kind, under its name. */
export const listText = (rows: readonly ListRow[]): string =>
  kinds
    .map((kind) => rows.filter((row) => row.kind === kind))
    .filter((list) => list.length > 0)
    .map((list) => {
      const lines = table(list.map(({ id, name }) => [`  ${id}`, name, '|'])).split('\n');
      const texts = lines.map((line, i) => wrapped(line.slice(0, -1), list[i]?.what ?? '', line.length - 1));
      return [`${list[0]?.kind} (${list.length})`, ...texts].join('\n');
    })
    .join('\n\n');

/** The rows of an entry as cells. */
export const entryCells = (rows: readonly EntryRow[]): Record<string, string | null>[] =>
  rows.map((row) => ({ ...row, value: typeof row.value === 'string' ? row.value : JSON.stringify(row.value) }));

type EntryRow = {
  readonly name: string;
  readonly value: unknown;
  readonly unit: string;
  readonly basis: Sourced['basis'];
  readonly source: string | null;
  readonly range: string | null;
  readonly place: string | null;
  readonly note: string | null;
};

/** A value on one line; a range of kills as its mean with low and high. */
const text = (value: unknown): string => {
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    return typeof value === 'string' ? value : JSON.stringify(value);
  const { low, mean, high, ...others } = value as Readonly<Record<string, unknown>>;
  const range = mean === undefined ? [] : [`${text(mean)} (${text(low)} to ${text(high)})`];
  return [...range, ...Object.entries(others).map(([key, child]) => `${key} ${text(child)}`)].join(', ');
};

/** Every value of an entry with its origin. */
export const entryRows = (catalogue: Catalogue, kind: Kind, id: string): EntryRow[] => {
  const prefix = `${kind}/${id}/`;
  return [...catalogue.provenance]
    .filter(([path]) => path.startsWith(prefix))
    .map(([path, { value, unit, basis, source, range, place, note }]) => ({
      name: path.slice(prefix.length),
      value,
      unit,
      basis,
      source: source ?? null,
      range: range === undefined ? null : range.join(' to '),
      place: place ?? null,
      note: note ?? null,
    }));
};

const referenceText = (id: string, { authors, year, title, published, read, url }: Reference): string => {
  const cited = [`${authors}${year === undefined ? '' : ` ${year}`}`, title, published].filter(
    (part) => part !== undefined,
  );
  return `${id}: ${cited.join('. ')}. Read: ${read}${url === undefined ? '' : `. ${url}`}`;
};

/** A value on its line; below it the note, the range and the place. */
const rowText = (row: EntryRow): string => {
  const unit = row.unit === '1' || row.unit === row.value ? '' : ` ${row.unit}`;
  const origin = [row.basis, ...(row.source === null ? [] : [row.source])].join(', ');
  const range = row.range === null ? [] : [`range ${row.range}`];
  const place = row.place === null ? [] : [`at ${row.place}`];
  const more = [...range, ...place, ...(row.note === null ? [] : [row.note])].join('; ');
  const head = wrapped('  ', `${row.name}: ${text(row.value)}${unit} [${origin}]`, 6);
  return more === '' ? head : `${head}\n${wrapped('      ', more, 6)}`;
};

/** An entry with its values, their units and where they come from. */
export const entryText = (catalogue: Catalogue, kind: Kind, id: string, withSources: boolean): string => {
  const rows = entryRows(catalogue, kind, id);
  const [row] = listRows(catalogue, kind).filter((entry) => entry.id === id);
  const cited = [...new Set(rows.flatMap(({ source }) => source ?? []))].sort();
  const sources = cited.flatMap((source) => {
    const reference = catalogue.references[source];
    return reference === undefined ? [] : [wrapped('  ', referenceText(source, reference), 6)];
  });
  return [
    `${row?.name ?? id}: ${row?.what ?? kind}`,
    ...rows.map(rowText),
    ...(withSources && sources.length > 0 ? ['', 'Sources', ...sources] : []),
  ].join('\n');
};
