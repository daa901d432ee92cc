import { z } from 'zod';
import { allowedText } from './allowed.ts';

/**
 * One maker per unit, so that a unit's range and its spelling are written once. Field names end in the unit:
 * `tempMaxC`, `rainMm`, `coverFrac`. SI inside; US units are converted at the border only.
 */
const between = (unit: string, low: number, high: number) => {
  const error = `a number from ${low} to ${high}${unit === '1' ? '' : ` ${unit}`}`;
  return z.number({ error }).min(low, { error }).max(high, { error }).meta({ unit });
};

/** Air or soil temperature, degrees Celsius. Wider than the records (-89.2 and 56.7 C). */
export const tempC = () => between('C', -90, 60);
/** A day's precipitation, mm of water. Beyond the wettest day on record (1,825 mm). */
export const rainMm = () => between('mm', 0, 1900);
/** Fraction 0 to 1, never percent. */
export const frac = () => between('1', 0, 1);
/** Depth in the soil, cm. */
export const depthCm = () => between('cm', 0, 50);
/** Height, row or gap, cm. */
export const lengthCm = () => between('cm', 0, 1000);
/** Distance of rows, cm; drilled cereals stand at 10 to 20. */
export const rowCm = () => between('cm', 5, 1000);
/** Heat sum, degree-days Celsius. */
export const heatCd = () => between('C d', 0, 10_000);
/** Water potential, MPa; never above 0. */
export const potentialMPa = () => between('MPa', -15, 0);
/** Global radiation of a day, MJ/m2. */
export const solarMjPerM2 = () => between('MJ/m2', 0, 50);
/** Wind, m/s. */
export const windMPerS = () => between('m/s', 0, 60);
/** Working speed, km/h. */
export const speedKmh = () => between('km/h', 0.1, 40);
/** Working width, m. */
export const widthM = () => between('m', 0.1, 60);
/** Latitude, degrees, north is positive. */
export const latitudeDeg = () => between('deg north', -90, 90);
/** Longitude, degrees, east is positive. */
export const longitudeDeg = () => between('deg east', -180, 180);
/** Height above the sea, m. */
export const elevationM = () => between('m', -430, 6000);
/** Area of a field, ha. */
export const areaHa = () => between('ha', 0.001, 100_000);
/** A number of days, at most a year. */
export const days = () => between('d', 0, 366);
/** The same with no part of a day. */
export const wholeDays = () => days().int({ error: 'a whole number from 0 to 366' });
/** Work rate, ha/h. */
export const rateHaPerH = () => between('ha/h', 0.001, 100);

/** Civil date YYYY-MM-DD between 1900 and 2100: further off is a typing error. */
export const civilDate = () =>
  z.iso
    .date({ error: 'a date YYYY-MM-DD', abort: true })
    .refine((d) => d >= '1900-01-01' && d <= '2100-12-31', { error: 'a date between 1900-01-01 and 2100-12-31' });
/** Month and day, MM-DD. */
export const monthDay = () =>
  z.string().regex(/^(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$/, { error: 'a month and day MM-DD' });
/** Name of a catalogue entry: lower case words joined by hyphens. */
export const slug = () =>
  z
    .string()
    .regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, { error: 'lower case words joined by hyphens, such as rotary-hoe' })
    .max(60);

const MOST_LINE = 200;
const LINE = `text of 1 to ${MOST_LINE} characters in one line, not blank, without control characters or halves of one`;
/**
 * A name for people. Answers as text print it as it stands, so that it must not break a line, steer a terminal or turn the
 * direction of writing; half of a surrogate pair is no character, and strict readers refuse all JSON that holds one.
 */
export const lineText = () =>
  z
    .string()
    .min(1, { error: LINE, abort: true })
    .max(MOST_LINE, { error: LINE, abort: true })
    // biome-ignore lint/suspicious/noControlCharactersInRegex: it is they that are refused
    .regex(/^(?=.*\S)[^\u0000-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff]*$/u, {
      error: LINE,
    });
/** A note for people, of several lines; only where no answer as text prints it. */
export const linesText = (most: number) =>
  z
    .string()
    .max(most)
    // biome-ignore lint/suspicious/noControlCharactersInRegex: it is they that are refused
    .regex(/^[^\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069\ud800-\udfff]*$/u, {
      error: 'text without control characters but tabs and ends of lines, and without halves of a character',
    });

/** A value a day, null where it is missing. */
export type Column = readonly (number | null)[];

/**
 * Schema of a column of a quantity: numbers and null, not too many. Whether a number can be is for whoever knows its day
 * and what is often mistaken for it, so the range stands in the form alone. A sound column is told by a plain loop, many
 * times as fast as value by value; what is wrong with another, the schema of its values says.
 * @param most values
 */
export const columnOf = (quantity: z.ZodNumber, most: number): z.ZodType<Column, Column> => {
  const value = z.number({ error: quantity.def.error as z.core.$ZodErrorMap });
  const valueByValue = z.array(value.nullable()).max(most);
  const isSound = (given: unknown): boolean => {
    if (!Array.isArray(given) || given.length > most) return false;
    for (const value of given) if (value !== null && !Number.isFinite(value)) return false;
    return true;
  };
  const { $schema: _, ...form } = z.toJSONSchema(z.array(quantity.nullable()).max(most));
  return z
    .unknown()
    .check(({ value, issues }) => {
      if (isSound(value)) return;
      for (const issue of valueByValue.safeParse(value, { error: allowedText }).error?.issues ?? [])
        issues.push({ ...issue, input: value } as (typeof issues)[number]);
    })
    .meta({ ...form, readOnly: true }) as unknown as z.ZodType<Column, Column>;
};
