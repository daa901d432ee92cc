import { rounded } from '../core/base/numbers.ts';
import { type Row, rowOfName, usName } from './units.ts';

/** Ending of the name of a schema in US units. */
export const US_ENDING = 'InUsUnits';

const limits = ['minimum', 'maximum', 'exclusiveMinimum', 'exclusiveMaximum'];
/** Decimals that limits keep; the answers keep as many. */
const KEPT_DIGITS = 4;

const memberOf = (key: string, value: unknown, row: Row | undefined): unknown => {
  if (key === 'required' && Array.isArray(value)) return value.map(usName);
  if (key === 'properties')
    return Object.fromEntries(
      Object.entries(value as object).map(([name, inner]) => [usName(name), usSchema(inner, rowOfName(name))]),
    );
  if (key === '$ref') return `${value}${US_ENDING}`;
  if (row !== undefined && limits.includes(key)) return rounded(row.us.from(Number(value)), KEPT_DIGITS);
  if (row !== undefined && key === 'unit' && value === row.unit) return row.us.unit;
  return usSchema(value, row);
};

/**
 * The JSON Schema of an answer as `inUsUnits` writes it: names, units and limits. What it refers to has the ending.
 * @param row unit of the property that the schema is of
 * @example usSchema({ properties: { rainMm: { maximum: 25.4 } } }) // { properties: { rainIn: { maximum: 1 } } }
 */
export const usSchema = (schema: unknown, row?: Row): unknown => {
  if (Array.isArray(schema)) return schema.map((item) => usSchema(item, row));
  if (typeof schema !== 'object' || schema === null) return schema;
  return Object.fromEntries(Object.entries(schema).map(([key, value]) => [key, memberOf(key, value, row)]));
};
