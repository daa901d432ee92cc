const [TAB, NEWLINE, RETURN, SPACE, QUOTE, COMMA, MINUS, POINT, ZERO, NINE, COLON] = [
  9, 10, 13, 32, 34, 44, 45, 46, 48, 57, 58,
] as const;
const [OPEN_ROW, BACKSLASH, CLOSE_ROW, L, N, U, OPEN, CLOSE, DELETE] = [
  91, 92, 93, 108, 110, 117, 123, 125, 127,
] as const;

/** Longer texts are read elsewhere. Room for each: three bytes a character, a value for every second one, and an end. */
const MOST_CHARACTERS = 32 * 1024;
const END = 0;
const buffer = Buffer.alloc(3 * MOST_CHARACTERS + 1, END);
/** The row that is being read. Numbers alone from the start, as the engine then keeps it and its copies without boxes. */
const values: number[] = [];
for (let i = 0; i < MOST_CHARACTERS / 2; i++) values.push(0.5);

/** So many digits, and a power of ten that they are divided by, are exact: then so is the nearest double of the two. */
const MOST_DIGITS = 15;
/** In place of a place where something else stands than what is read here. */
const ELSE = -1;

/** Place of the first byte from here on that is no white space. */
const past = (at: number): number => {
  let end = at;
  for (let byte = buffer[end]; byte === SPACE || byte === NEWLINE || byte === RETURN || byte === TAB; )
    byte = buffer[++end];
  return end;
};

/** Place of the quote behind plain characters. */
const stringEnd = (from: number): number => {
  let at = from;
  for (let byte = buffer[at] as number; byte !== QUOTE; byte = buffer[++at] as number)
    if (byte < SPACE || byte >= DELETE || byte === BACKSLASH) return ELSE;
  return at;
};

const isDigit = (byte: number): boolean => byte >= ZERO && byte <= NINE;

/** Reads numbers and nulls, which it leaves as NaN, into `values`. Gives how many, and the place behind the row. */
const rowAt = (from: number): { readonly length: number; readonly hasNull: boolean; readonly end: number } | null => {
  let length = 0;
  let hasNull = false;
  let at = past(from);
  if (buffer[at] === CLOSE_ROW) return { length, hasNull, end: at + 1 };
  for (;;) {
    let byte = buffer[at] as number;
    const isBelow = byte === MINUS;
    if (isBelow) byte = buffer[++at] as number;
    if (isDigit(byte)) {
      const first = at;
      let value = 0;
      do {
        value = 10 * value + (byte - ZERO);
        byte = buffer[++at] as number;
      } while (isDigit(byte));
      if (buffer[first] === ZERO && at > first + 1) return null;
      if (byte === POINT) {
        byte = buffer[++at] as number;
        if (!isDigit(byte)) return null;
        let scale = 1;
        do {
          value = 10 * value + (byte - ZERO);
          scale *= 10;
          byte = buffer[++at] as number;
        } while (isDigit(byte));
        value /= scale;
      }
      if (at - first > MOST_DIGITS) return null;
      values[length++] = isBelow ? -value : value;
    } else {
      if (isBelow || byte !== N || buffer[at + 1] !== U || buffer[at + 2] !== L || buffer[at + 3] !== L) return null;
      values[length++] = Number.NaN;
      hasNull = true;
      at += 4;
      byte = buffer[at] as number;
    }
    if (byte <= SPACE) {
      at = past(at);
      byte = buffer[at] as number;
    }
    at++;
    if (byte === CLOSE_ROW) return { length, hasNull, end: at };
    if (byte !== COMMA) return null;
    if ((buffer[at] as number) <= SPACE) at = past(at);
  }
};

type Columns = Record<string, string | (number | null)[]>;

/**
 * What JSON.parse makes of an object of plain strings and rows of short numbers, such as a year of weather, in a quarter
 * of its time; undefined for any other text, also for one that is no JSON.
 * @example columnsOf('{"startDate":"2026-04-01","rainMm":[0,null,1.5]}') // { startDate: '2026-04-01', rainMm: [0, null, 1.5] }
 */
export const columnsOf = (text: string): Columns | undefined => {
  if (text.length > MOST_CHARACTERS) return undefined;
  const size = buffer.write(text);
  buffer[size] = END;
  const found: Columns = {};
  let at = past(0);
  if (buffer[at] !== OPEN) return undefined;
  do {
    at = past(at + 1);
    const nameEnd = buffer[at] === QUOTE ? stringEnd(at + 1) : ELSE;
    if (nameEnd === ELSE) return undefined;
    // No byte so far was of a longer character: places are the same in the text.
    const name = text.slice(at + 1, nameEnd);
    at = past(nameEnd + 1);
    // An object has this one from the start, and does not take it as its own.
    if (name === '__proto__' || buffer[at] !== COLON) return undefined;
    at = past(at + 1);
    if (buffer[at] === QUOTE) {
      const end = stringEnd(at + 1);
      if (end === ELSE) return undefined;
      found[name] = text.slice(at + 1, end);
      at = end + 1;
    } else {
      const row = buffer[at] === OPEN_ROW ? rowAt(at + 1) : null;
      if (row === null) return undefined;
      const numbers = values.slice(0, row.length);
      found[name] = row.hasNull ? numbers.map((value) => (Number.isNaN(value) ? null : value)) : numbers;
      at = row.end;
    }
    at = past(at);
  } while (buffer[at] === COMMA);
  return buffer[at] === CLOSE && past(at + 1) === size ? found : undefined;
};
