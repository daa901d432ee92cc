import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, test } from 'vitest';
import { z } from 'zod';
import { code, root, sources } from './tree.ts';

/** By unit, as base/quantity.ts spells it, how the name of a field or of the block it lies in must say it. */
const spelling: Readonly<Record<string, RegExp>> = {
  C: /C$/,
  'C d': /Cd$/,
  mm: /Mm$/,
  cm: /Cm$/,
  m: /M$/,
  MPa: /MPa$/,
  'MJ/m2': /MjPerM2$/,
  'm/s': /MPerS$/,
  'km/h': /Kmh$/,
  'deg north': /latitudeDeg$/,
  'deg east': /longitudeDeg$/,
  ha: /Ha$/,
  'ha/h': /HaPerH$/,
  // Days may be counted to or from something: daysToViableSeed.
  d: /days/i,
  h: /^hours$|H$/,
  ms: /Ms$/,
  leaves: /leaf/i,
  'seeds/plant': /seedsPerPlant$/,
  '1/m2': /perM2$/i,
};

type Numeric = { readonly unit: string | undefined; readonly path: readonly string[] };

/** Every number of a schema with the names that lead to it. A curve's points are pairs and are named by what they give. */
const numbers = (schema: unknown, path: readonly string[]): Numeric[] => {
  if (schema instanceof z.ZodObject)
    return Object.entries(schema.shape).flatMap(([name, field]) => numbers(field, [...path, name]));
  if (schema instanceof z.ZodArray) return numbers(schema.element, path);
  if (schema instanceof z.ZodRecord) return numbers(schema.valueType, path);
  if (schema instanceof z.ZodPipe) return [...numbers(schema.in, path), ...numbers(schema.out, path)];
  if (schema instanceof z.ZodUnion) return schema.options.flatMap((option) => numbers(option, path));
  if (schema instanceof z.ZodTuple) return numbers(schema.def.items.at(-1), path);
  if (schema instanceof z.ZodNumber) return [{ unit: schema.meta()?.unit as string | undefined, path }];
  if (
    schema instanceof z.ZodOptional ||
    schema instanceof z.ZodNullable ||
    schema instanceof z.ZodDefault ||
    schema instanceof z.ZodReadonly
  )
    return numbers(schema.unwrap(), path);
  return [];
};

const schemaNumbers = async (): Promise<Numeric[]> => {
  const files = sources('src').filter(({ path }) => path.endsWith('/schema.ts'));
  const modules = await Promise.all(
    files.map(({ path }): Promise<Record<string, unknown>> => import(pathToFileURL(join(root, path)).href)),
  );
  return modules.flatMap((module) =>
    Object.entries(module).flatMap(([name, schema]) => (schema instanceof z.ZodType ? numbers(schema, [name]) : [])),
  );
};

test('a number with a unit says it in its name, or in the name of the block it lies in', async () => {
  const found = (await schemaNumbers()).filter(({ unit }) => unit !== undefined && unit !== '1');
  expect(found.length).toBeGreaterThan(100);
  const unnamed = found.filter(({ unit, path }) => {
    const says = spelling[unit as string];
    return says === undefined || !path.slice(-2).some((name) => says.test(name));
  });
  expect(unnamed.map(({ unit, path }) => `${path.join('.')}: ${unit}`)).toEqual([]);
});

test('no field is named as a percentage: shares are fractions', async () => {
  const named = (await schemaNumbers()).map(({ path }) => path.at(-1) as string);
  expect(named.filter((name) => /percent|pct/i.test(name))).toEqual([]);
});

test('every function that the core exports says what it gives', () => {
  const silent = sources('src/core').flatMap(({ path, text }) =>
    [...text.matchAll(/^export const (\w+)[^\n]*?= (?:async )?(?:<[^\n]*?>)?\(/gm)]
      .filter((match) => !text.slice(0, match.index).trimEnd().endsWith('*/'))
      .map(([, name]) => `${path}: ${name}`),
  );
  expect(silent).toEqual([]);
});

test('no class, enum, namespace or parameter property in src', () => {
  const odd = sources('src').flatMap(({ path, text }) =>
    (code(text).match(/^\s*(export )?(abstract )?(class|enum|namespace) \w+/gm) ?? []).map(
      (what) => `${path}: ${what}`,
    ),
  );
  expect(odd).toEqual([]);
});
