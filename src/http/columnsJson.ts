/** A row of numbers as long as this is written here. */
const LEAST_LONG = 32;
/** Of a number with more digits behind the point, or a larger one, the engine makes the text. */
const DIGITS = 4;
const SCALE = 10 ** DIGITS;
const MOST = 9999 * SCALE;
/** The longest text that JSON has for a number, -1.2345678901234567e-300, and its comma. */
const MOST_BYTES = 26;
const [COMMA, MINUS, POINT, ZERO, OPEN, CLOSE] = [44, 45, 46, 48, 91, 93] as const;
const BRACKETS = 2;
/** More than an outlook of a year takes. */
export const OUTLOOK_BYTES = 256 * 1024;

/** The bytes of the text that is being written: kept, as new memory has to be fetched page by page. */
let buffer: Buffer<ArrayBuffer> = Buffer.allocUnsafeSlow(OUTLOOK_BYTES);

const roomFor = (at: number, more: number): void => {
  if (at + more <= buffer.length) return;
  const larger = Buffer.allocUnsafeSlow(2 * (at + more));
  larger.set(buffer.subarray(0, at));
  buffer = larger;
};

/** Each of these gives the place behind what it wrote. */
const textAt = (at: number, text: string): number => {
  roomFor(at, 3 * text.length);
  return at + buffer.write(text, at);
};

/** A number of up to DIGITS digits behind the point into bytes that have room for it; -1 where it is none. */
const fewDigitsAt = (bytes: Uint8Array, at: number, value: number): number => {
  const scaled = Math.round(value * SCALE);
  // No two numbers of so few digits share a double: if these digits give the value, they are its shortest text.
  if (scaled / SCALE !== value || scaled > MOST || scaled < -MOST) return -1;
  let end = at;
  if (scaled < 0) bytes[end++] = MINUS;
  const size = Math.abs(scaled) | 0;
  const whole = (size / SCALE) | 0;
  if (whole > 999) bytes[end++] = ZERO + ((whole / 1000) | 0);
  if (whole > 99) bytes[end++] = ZERO + (((whole / 100) | 0) % 10);
  if (whole > 9) bytes[end++] = ZERO + (((whole / 10) | 0) % 10);
  bytes[end++] = ZERO + (whole % 10);
  let rest = size - whole * SCALE;
  if (rest === 0) return end;
  bytes[end] = POINT;
  for (let place = end + DIGITS; place > end; place--) {
    const tens = (rest / 10) | 0;
    bytes[place] = ZERO + rest - 10 * tens;
    rest = tens;
  }
  end += DIGITS + 1;
  while (bytes[end - 1] === ZERO) end--;
  return end;
};

const longAt = (at: number, values: readonly unknown[]): number => {
  roomFor(at, MOST_BYTES * values.length + BRACKETS);
  const bytes = buffer;
  let end = at;
  bytes[end++] = OPEN;
  for (let i = 0; i < values.length; i++) {
    const value = values[i];
    if (typeof value !== 'number' && value !== null) return textAt(at, JSON.stringify(values));
    if (i > 0) bytes[end++] = COMMA;
    const next = value === null ? -1 : fewDigitsAt(bytes, end, value);
    end = next === -1 ? end + bytes.write(JSON.stringify(value), end) : next;
  }
  bytes[end++] = CLOSE;
  return end;
};

const isLong = (value: unknown): value is readonly unknown[] =>
  Array.isArray(value) && value.length >= LEAST_LONG && typeof value[0] === 'number';

/** Whether there are such rows in it, of an array as its first element tells. */
const hasLong = (value: unknown): boolean => {
  if (typeof value !== 'object' || value === null) return false;
  if (Array.isArray(value)) return isLong(value) || hasLong(value[0]);
  return Object.values(value).some(hasLong);
};

const valueAt = (at: number, value: unknown): number => {
  if (isLong(value)) return longAt(at, value);
  if (!hasLong(value)) return textAt(at, JSON.stringify(value) ?? 'null');
  let end = at;
  if (Array.isArray(value)) {
    for (const element of value) end = valueAt(textAt(end, end === at ? '[' : ','), element);
    return textAt(end, ']');
  }
  for (const [name, member] of Object.entries(value as object)) {
    if (member === undefined) continue;
    end = valueAt(textAt(end, `${end === at ? '{' : ','}${JSON.stringify(name)}:`), member);
  }
  return textAt(end, '}');
};

/**
 * The bytes of JSON.stringify, of plain data with long rows of numbers, in half of its time: four fifths of an outlook are
 * values of days with few digits.
 * @returns bytes in a buffer of their own
 * @example columnsJson({ a: [1, 0.25] }).toString() // '{"a":[1,0.25]}'
 */
export const columnsJson = (data: object): Buffer<ArrayBuffer> => {
  const end = valueAt(0, data);
  const own = Buffer.allocUnsafeSlow(end);
  own.set(buffer.subarray(0, end));
  return own;
};

/**
 * The same in memory that the caller has no other use for, or in more where that is too little: nothing is copied.
 * @returns bytes from the beginning of a buffer that holds nothing else
 */
export const columnsJsonIn = (memory: ArrayBuffer, data: object): Buffer<ArrayBuffer> => {
  const own = buffer;
  buffer = Buffer.from(memory);
  try {
    const end = valueAt(0, data);
    return buffer.subarray(0, end);
  } finally {
    buffer = own;
  }
};
