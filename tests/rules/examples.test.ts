import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, test } from 'vitest';
import { loadCatalogue } from '../../src/catalogue/load.ts';
import { soilConstants } from '../../src/core/soil/texture.ts';
import { goodConditions } from '../core/weeds/synthetic.ts';
import { root, sources } from './tree.ts';

/** What an example may name besides the exports of its own file. */
const scenery = (): Record<string, unknown> => {
  const { crops, species, implements: tools } = loadCatalogue();
  const constants = soilConstants({
    texture: 'silt-loam',
    organicMatterFrac: 0.025,
    drainage: 'moderate',
    residueCoverFrac: 0,
    slopeFrac: 0,
  });
  return {
    constants,
    fieldCapacity: constants.fieldCapacity,
    fieldCorn: crops.find(({ id }) => id === 'field-corn'),
    lambsquarters: species.find(({ id }) => id === 'common-lambsquarters'),
    hoe: tools.find(({ id }) => id === 'rotary-hoe')?.kill,
    dry: goodConditions,
    w: { value: 1, unit: 'C d', basis: 'default', note: 'a wrapper' },
  };
};

/** The examples of a file as text, one line each: from the tag to the next tag or the end of the comment. */
const examples = (text: string): string[] =>
  [...text.matchAll(/@example ([\s\S]*?)(?=\n\s*\*?\s*@|\s*\*\/)/g)].map(([, body = '']) =>
    body.replace(/\n\s*\* ?/g, ' ').trim(),
  );

const evaluated = (expression: string, scope: Readonly<Record<string, unknown>>): unknown =>
  new Function(...Object.keys(scope), `return (${expression});`)(...Object.values(scope));

/** How far a number may be off: half of the last digit printed. */
const tolerance = (printed: string): number => {
  const decimals = [...printed.matchAll(/\.(\d+)/g)].map(([, digits = '']) => digits.length);
  return 0.5 * 10 ** -Math.max(0, ...decimals) + 1e-12;
};

const near = (found: unknown, wanted: unknown, off: number): boolean => {
  if (typeof wanted === 'number') return typeof found === 'number' && Math.abs(found - wanted) <= off;
  if (typeof wanted !== 'object' || wanted === null) return Object.is(found, wanted);
  if (typeof found !== 'object' || found === null) return false;
  const keys = Object.keys(wanted);
  return (
    keys.length === Object.keys(found).length &&
    keys.every((key) => near(Reflect.get(found, key), Reflect.get(wanted, key), off))
  );
};

const cases = sources('src').flatMap(({ path, text }) => examples(text).map((example) => [path, example] as const));

test('the tree has examples to run', () => {
  expect(cases.length).toBeGreaterThan(40);
});

test.each(cases)('%s: %s', async (path, example) => {
  const [expression, printed, ...rest] = example.split(/\s+\/\/ /);
  expect(rest).toEqual([]);
  if (expression === undefined || printed === undefined) throw new Error('an example reads: expression // value');
  const own: Record<string, unknown> = await import(pathToFileURL(join(root, path)).href);
  const scope = { ...scenery(), ...own };
  const found = evaluated(expression, scope);
  const wanted = evaluated(printed, scope);
  if (!near(found, wanted, tolerance(printed))) expect(found).toEqual(wanted);
});
