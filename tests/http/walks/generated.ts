import fc from 'fast-check';
import { expect } from 'vitest';
import type { Stored } from '../stored.ts';
import { holder } from './held.ts';
import { addressOf, bodyFor, document, type Operation } from './operations.ts';

const held = holder(document);

type Json = unknown;
const paths = (node: Json, at: readonly (string | number)[] = []): (readonly (string | number)[])[] => {
  const inner =
    typeof node === 'object' && node !== null
      ? Object.entries(node).flatMap(([key, child]) => paths(child, [...at, Array.isArray(node) ? Number(key) : key]))
      : [];
  return [at, ...inner];
};

/** A copy of `node` with what stands at a place exchanged. */
const exchanged = (node: Json, [key, ...rest]: readonly (string | number)[], value: Json): Json => {
  if (key === undefined) return value;
  const copy = Array.isArray(node) ? [...node] : { ...(node as object) };
  Reflect.set(copy, key, exchanged(Reflect.get(node as object, key), rest, value));
  return copy;
};

const odd: fc.Arbitrary<Json> = fc.oneof(
  fc.jsonValue({ maxDepth: 3 }),
  fc.constantFrom(null, '', -1, 1e308, -0, 2 ** 53, 'NaN', '1900-00-00', '2026-02-29', '__proto__', '\u0000', [], {}),
  fc.string({ unit: 'binary', maxLength: 40 }),
);

/** The example with one to three places of it exchanged for anything. */
const bodyOf = (example: Json): fc.Arbitrary<Json> => {
  const places = paths(example);
  const change = fc.record({ at: fc.nat(places.length - 1), value: odd });
  return fc
    .array(change, { minLength: 0, maxLength: 3 })
    .map((changes) => changes.reduce<Json>((body, { at, value }) => safely(body, places[at] ?? [], value), example));
};

const safely = (body: Json, at: readonly (string | number)[], value: Json): Json => {
  try {
    return exchanged(body, at, value);
  } catch {
    return value;
  }
};

const queries = fc.oneof(
  fc.constant(''),
  fc
    .array(
      fc.tuple(
        fc.constantFrom('units', 'days', 'on', 'limit', 'cursor', 'from', 'to', 'kind', 'id', 'fieldId', 'x'),
        fc.oneof(fc.constantFrom('us', '1', '-1', '1e3', '2026-05-19', 'field', '', '%'), fc.string({ maxLength: 12 })),
      ),
      { maxLength: 3 },
    )
    .map((pairs) => `?${pairs.map(([name, value]) => `${name}=${encodeURIComponent(value)}`).join('&')}`),
);

const headersOf = fc.record(
  {
    'if-match': fc.constantFrom('"1"', '"0"', '*', 'W/"1"', '1', '"999999999999999999"', ''),
    'if-none-match': fc.constantFrom('"1"', '*', 'x'),
    'idempotency-key': fc.constantFrom('a', 'b', '', 'x'.repeat(201)),
    accept: fc.constantFrom('*/*', 'application/json', 'text/csv', 'image/png', 'nonsense;q=x'),
  },
  { requiredKeys: [] },
);

/**
 * Sends an operation in so many ways and holds each answer against the document: its status, header fields and body.
 * Never a fault of ours.
 */
export const generated = async (stored: Stored, operation: Operation, runs: number, seed?: number): Promise<void> => {
  const { method, path, body } = operation;
  const [farm] = stored.farms;
  const example = bodyFor(body, farm);
  const bodies = example === undefined ? fc.constant(undefined) : bodyOf(example);
  const address = addressOf(path, farm);
  const property = fc.asyncProperty(bodies, queries, headersOf, async (sent, query, headers) => {
    // What takes a farm or a record away would leave nothing to ask.
    const key = method === 'DELETE' ? farm.keys.reader : stored.operator;
    const own = { key, headers: headers as Record<string, string>, ...(sent === undefined ? {} : { body: sent }) };
    const answer = await stored.ask(method, address + query, own);
    // Lets the event loop turn, or its delay would make the server refuse.
    await new Promise(setImmediate);
    held(operation, answer);
    expect(answer.statusCode).toBeLessThan(500);
    if (answer.statusCode >= 400) expect(answer.json().status).toBe(answer.statusCode);
  });
  await fc.assert(property, { numRuns: runs, ...(seed === undefined ? {} : { seed }) });
};
