import { InvalidArgumentError, Option } from 'commander';
import { whitethreadError } from '../core/base/errors.ts';
import { civilDate, monthDay } from '../core/base/quantity.ts';
import { type TextureClass, textureClasses } from '../core/soil/schema.ts';

/** Readers of single arguments: each gives a value, or tells commander what is allowed. */

export const numberBetween =
  (low: number, high: number, words = '') =>
  (text: string): number => {
    const value = Number(text);
    if (text.trim() === '' || !(value >= low && value <= high))
      throw new InvalidArgumentError(`Allowed: a number from ${low} to ${high}${words}.`);
    return value;
  };

export const wholeBetween =
  (low: number, high: number) =>
  (text: string): number => {
    const value = numberBetween(low, high)(text);
    if (!Number.isInteger(value)) throw new InvalidArgumentError(`Allowed: a whole number from ${low} to ${high}.`);
    return value;
  };

export const dateArgument = (text: string): string => {
  if (!civilDate().safeParse(text).success) throw new InvalidArgumentError('Allowed: a date such as 2026-05-12.');
  return text;
};

export const monthDayArgument = (text: string): string => {
  if (!monthDay().safeParse(text).success) throw new InvalidArgumentError('Allowed: month and day such as 04-01.');
  return text;
};

/** Items between commas, each read by `item`. */
export const listOf =
  <T>(item: (text: string) => T) =>
  (text: string): T[] =>
    text.split(',').map((part) => item(part.trim()));

export const word = (text: string): string => {
  if (!/^[a-z0-9]+(-[a-z0-9]+)*$/.test(text))
    throw new InvalidArgumentError('Allowed: lower-case words joined by hyphens, such as row-cultivator.');
  return text;
};

/** A length with its unit, as centimetres; a bare number is centimetres. @example lengthCm('1.5in') // 3.81 */
export const lengthCm = (text: string): number => lengthIn(text, { cm: 1, in: 2.54 }, 'cm');

/** A length with its unit, as metres; a bare number is metres. @example lengthM('1100ft') // 335.28 */
export const lengthM = (text: string): number => lengthIn(text, { m: 1, ft: 0.3048 }, 'm');

const lengthIn = (text: string, factors: Readonly<Record<string, number>>, usual: string): number => {
  const match = /^(-?\d+(?:\.\d+)?) ?([a-z]*)$/.exec(text.trim());
  const factor = factors[match?.[2] || usual];
  if (match === null || factor === undefined)
    throw new InvalidArgumentError(`Allowed: a length in ${Object.keys(factors).join(' or ')}, such as 3${usual}.`);
  return Number(match[1]) * factor;
};

/** A texture class however it is written: 'silt loam', 'silt-loam', 'SiltLoam'. */
export const textureArgument = (text: string): TextureClass => {
  const plain = text.toLowerCase().replace(/[^a-z]/g, '');
  const found = textureClasses.find((name) => name.replaceAll('-', '') === plain);
  if (found === undefined) throw new InvalidArgumentError(`Allowed: ${textureClasses.join(', ')}.`);
  return found;
};

type Format = 'table' | 'json' | 'csv';
export type FormatOptions = { readonly format: Format; readonly json?: true };

/** `--json` is short for `--format json`. */
export const formatOptions = (): Option[] => [
  new Option('--format <format>', 'how to write the answer').choices(['table', 'json', 'csv']).default('table'),
  new Option('--json', 'short for --format json'),
];

/** @throws WhitethreadError where both options are given and differ */
export const formatOf = ({ format, json }: FormatOptions): Format => {
  if (json && format === 'csv')
    throw whitethreadError([
      { code: 'invalid-input', where: 'options', given: '--json and --format csv', allowed: 'one of the two' },
    ]);
  return json ? 'json' : format;
};

export const jsonText = (answer: unknown): string => JSON.stringify(answer, null, 2);
