import fc from 'fast-check';
import { expect, test, vi } from 'vitest';
import type { WhitethreadError } from '../../src/core/base/errors.ts';
import { assertShallow, fieldTexts, MOST_DEEP } from '../../src/http/json.ts';

const nested = (depth: number) => '['.repeat(depth) + ']'.repeat(depth);

test('64 levels pass, 65 do not, and brackets in texts are no levels', () => {
  expect(() => assertShallow(nested(MOST_DEEP))).not.toThrow();
  expect(() => assertShallow(nested(MOST_DEEP + 1))).toThrow(/deeper/);
  expect(() => assertShallow(nested(1_000_000))).toThrow(/deeper/);
  expect(() => assertShallow(JSON.stringify({ note: `\\"${'['.repeat(500)}` }))).not.toThrow();
});

test('the texts of a batch, parsed, are the elements of the batch, parsed', () => {
  fc.assert(
    fc.property(fc.array(fc.jsonValue(), { minLength: 1, maxLength: 8 }), fc.constantFrom(0, 2), (fields, indent) => {
      const texts = fieldTexts(JSON.stringify({ fields }, null, indent), 8);
      expect(texts.map((text) => JSON.stringify(JSON.parse(text)))).toEqual(fields.map((f) => JSON.stringify(f)));
    }),
    { numRuns: 2000 },
  );
});

test.each(['', '{}', '[]', '{"fields":[{}]', '{"fields":[{}],"more":1}', '{"fields":[{},]}', '{"fields":{}}'])(
  'a batch of another form is refused: %s',
  (text) => {
    expect(() => fieldTexts(text, 8)).toThrow(/fields/);
  },
);

const told = (text: string) => {
  try {
    return fieldTexts(text, 8);
  } catch (error) {
    return (error as WhitethreadError).problems.map(({ where, given, allowed }) => [where, given, allowed]);
  }
};
const unknown = 'one of the names fields';

test.each([
  ['{"fields":{}}', [['fields', '{}', 'a list']]],
  [' { "fields" : [ { "a": [1] } ] , "x" : "y, }" } ', [['x', '"y, }"', unknown]]],
  ['[{"fields":[]}]', [['input', '[{"fields":[]}]', 'an object { "fields": [ ... ] }']]],
  ['{}', [['fields', 'nothing', 'a list']]],
  [
    '{"field":[{}]}',
    [
      ['fields', 'nothing', 'a list'],
      ['field', '[{}]', unknown],
    ],
  ],
  [
    '{"x":1,"fields":"a","y":{"fields":[]}}',
    [
      ['x', '1', unknown],
      ['fields', '"a"', 'a list'],
      ['y', '{"fields":[]}', unknown],
    ],
  ],
  [
    '{"fields":[],"x":1}',
    [
      ['fields', 'no fields', '1 to 8 fields'],
      ['x', '1', unknown],
    ],
  ],
  ['{"fields":[1],"fields":[2]}', [['fields', 'twice', 'once']]],
  [`{"fields":[1],"x":"${'a'.repeat(99)}"}`, [['x', `"${'a'.repeat(76)}...`, unknown]]],
])('every member of a batch that is at fault is named: %s', (text, problems) => {
  expect(told(text)).toEqual(problems);
});

test.each([
  '{"fields":[1}',
  '{"fields":[1}]}',
  '{"fields":[1]]',
  '{"fields":[1] "x"}',
  '{"fields":[1],}',
  '{"fields":[1],x:1}',
])('what is no JSON has no member at fault: %s', (text) => {
  expect(() => fieldTexts(text, 8)).toThrow(/another form/);
});

test('of a million members that are not known fifty are named', () => {
  expect(told(`{${'"a":1,'.repeat(1_000_000)}"fields":[1]}`)).toEqual(Array(50).fill(['a', '1', unknown]));
});

test.each(['{"fields":[]}', ' { "fields" : [ ] } '])('a batch of no fields has the form, and none: %s', (text) => {
  expect(fieldTexts(text, 8)).toEqual([]);
});

test('of more fields than the most one more is given, and nothing behind it is looked at', () => {
  expect(fieldTexts('{"fields":[1,2]}', 2)).toEqual(['1', '2']);
  expect(fieldTexts('{"fields":[1,2,3]}', 2)).toEqual(['1', '2', '3']);
  expect(fieldTexts('{"fields":[1,2,3,4,"this is never', 2)).toEqual(['1', '2', '3']);
});

test.each([',', '1,'])('a batch of a million elements is left after a few of them: %s', (element) => {
  const text = `{"fields":[${element.repeat(1_000_000)}1]}`;
  const slice = vi.spyOn(String.prototype, 'slice');
  try {
    if (element === ',') expect(() => fieldTexts(text, 100)).toThrow(/another form/);
    else expect(fieldTexts(text, 100)).toHaveLength(101);
    expect(slice.mock.calls.length).toBeLessThan(150);
  } finally {
    slice.mockRestore();
  }
});
