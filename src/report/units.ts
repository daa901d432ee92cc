import { rounded } from '../core/base/numbers.ts';

export type Units = 'metric' | 'us';

/** One unit of the library: how names end in it, and the US customary unit that takes its place at the border. */
export type Row = {
  readonly unit: string;
  readonly digits: number;
  readonly suffix: string;
  readonly us: {
    readonly unit: string;
    readonly digits: number;
    readonly suffix: string;
    readonly from: (si: number) => number;
  };
};

const over = (divisor: number) => (value: number) => value / divisor;

/** Exact factors: 1 in = 25.4 mm, 1 mile = 1609.344 m, 1 acre = 0.40468564224 ha (international yard, 1959). */
const rows: readonly Row[] = [
  { unit: 'C', digits: 1, suffix: 'C', us: { unit: 'F', digits: 0, suffix: 'F', from: (c) => c * 1.8 + 32 } },
  { unit: 'mm', digits: 1, suffix: 'Mm', us: { unit: 'in', digits: 2, suffix: 'In', from: over(25.4) } },
  { unit: 'cm', digits: 1, suffix: 'Cm', us: { unit: 'in', digits: 1, suffix: 'In', from: over(2.54) } },
  { unit: 'm/s', digits: 1, suffix: 'MPerS', us: { unit: 'mph', digits: 0, suffix: 'Mph', from: over(0.44704) } },
  { unit: 'km/h', digits: 1, suffix: 'Kmh', us: { unit: 'mph', digits: 1, suffix: 'Mph', from: over(1.609344) } },
  { unit: 'ha', digits: 1, suffix: 'Ha', us: { unit: 'ac', digits: 0, suffix: 'Ac', from: over(0.40468564224) } },
];

/** Decimals that answers keep of a converted value. */
const KEPT_DIGITS = 4;

/**
 * A value with its unit, for people. Shares become per cent, leaves a leaf number; a unit without a US form stays.
 * @param moreDigits where the usual ones would hide a difference
 * @example shown(8, 'mm', 'us') // '0.31 in'
 */
export const shown = (value: number, unit: string, units: Units, moreDigits = 0): string => {
  if (unit === '1') return percent(value, moreDigits);
  if (unit === 'h') return `${rounded(value, 1 + moreDigits)} h`;
  if (unit === 'leaves') return `leaf ${rounded(value, 1 + moreDigits)}`;
  if (unit === 'passes') return String(value);
  const row = rows.find((r) => r.unit === unit);
  if (row === undefined) return `${rounded(value, 2 + moreDigits)} ${unit}`.trimEnd();
  const to = units === 'us' ? row.us : { ...row, from: (v: number) => v };
  return `${rounded(to.from(value), to.digits + moreDigits)} ${to.unit}`;
};

/** @example percent(0.714) // '71 %' */
export const percent = (share: number, digits = 0): string => `${rounded(100 * share, digits)} %`;

/** The same of what is never nothing. @example littlePercent(0.002) // '<1 %' */
export const littlePercent = (share: number): string => (share < 0.005 ? '<1 %' : percent(share));

/**
 * A depth or a span of depths inside a text, in the reader's unit.
 * @example depthText('2.5-7.5 cm', 'us') // '1-3 in'
 */
export const depthText = (text: string, units: Units): string =>
  units === 'metric'
    ? text
    : text.replace(/(\d+(?:\.\d+)?)(?:-(\d+(?:\.\d+)?))? cm\b/g, (_, from: string, to: string | undefined) =>
        [from, to]
          .filter((part) => part !== undefined)
          .map((part) => rounded(Number(part) / 2.54, 1))
          .join('-')
          .concat(' in'),
      );

/** 1 ft = 0.3048 m (international foot, 1959). */
const M2_PER_FT2 = 0.3048 ** 2;
/** Digits of a density, which may be one of a few plants a field as well as one of a carpet. */
const DENSITY_DIGITS = 4;

/**
 * Densities inside a text, such as counts of weeds, in US units.
 * @example densityText('waterhemp 12/m2') // 'waterhemp 1.115/ft2'
 */
export const densityText = (text: string): string =>
  text.replace(
    /(\d+(?:\.\d+)?(?:e[+-]?\d+)?)\/m2\b/g,
    (_, perM2: string) => `${Number((Number(perM2) * M2_PER_FT2).toPrecision(DENSITY_DIGITS))}/ft2`,
  );

const converted = (value: unknown, from: (si: number) => number): unknown => {
  if (typeof value === 'number') return rounded(from(value), KEPT_DIGITS);
  return Array.isArray(value) ? value.map((item) => converted(item, from)) : value;
};

/** A name ends in a unit where a lower-case letter or a digit stands before it. */
export const rowOfName = (name: string): Row | undefined =>
  rows.find(({ suffix }) => name.endsWith(suffix) && /[a-z0-9]$/.test(name.slice(0, -suffix.length)));

/** @example usName('rainMm') // 'rainIn' */
export const usName = (name: string): string => {
  const row = rowOfName(name);
  return row === undefined ? name : name.slice(0, -row.suffix.length) + row.us.suffix;
};

/**
 * An answer in US units: values converted, names ending in the new unit, and values that name their unit beside them
 * (reasons why a window is closed) or behind them (counts of weeds).
 * @example inUsUnits({ rainMm: 25.4 }) // { rainIn: 1 }
 */
export const inUsUnits = (answer: unknown): unknown => {
  if (Array.isArray(answer)) return answer.map(inUsUnits);
  if (typeof answer !== 'object' || answer === null) return answer;
  const given = answer as Readonly<Record<string, unknown>>;
  const beside = rows.find(({ unit }) => unit === given.unit);
  return Object.fromEntries(
    Object.entries(given).map(([name, value]) => {
      if (beside !== undefined && name === 'unit') return [name, beside.us.unit];
      if (beside !== undefined && (name === 'given' || name === 'limit'))
        return [name, converted(value, beside.us.from)];
      // The layer that a reason speaks of.
      if (name === 'detail' && typeof value === 'string') return [name, depthText(value, 'us')];
      if (name === 'weedsCounted' && typeof value === 'string') return [name, densityText(value)];
      const row = rowOfName(name);
      return row === undefined ? [name, inUsUnits(value)] : [usName(name), converted(value, row.us.from)];
    }),
  );
};
