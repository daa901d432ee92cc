import { expect, test } from 'vitest';
import type { FieldInput } from '../../../src/core/outlook/schema.ts';
import { outlookOf } from './fields.ts';

const noted = (code: string, changes: Partial<FieldInput>) =>
  outlookOf(changes).notes.find((note) => note.code === code)?.text;

test.each([
  // Corn in 15 inch, 30 inch, 60 inch rows; millimetres for centimetres; a slip of the point.
  ['field-corn', undefined, false],
  ['field-corn', 38, false],
  ['field-corn', 152.4, false],
  ['field-corn', 760, true],
  ['field-corn', 7.6, true],
  // Soybean from the drill, and in 15 inch rows as millimetres.
  ['soybean', 19, false],
  ['soybean', 15, false],
  ['soybean', 380, true],
  // Cereals and millet in rows to hoe between, and a drill's rows as millimetres.
  ['oats', 12.5, false],
  ['oats', 50, false],
  ['millet', 76.2, false],
  ['oats', 190, true],
  ['alfalfa-seeding', 150, true],
])('%s in rows of %s cm: told %s', (crop, rowCm, told) => {
  const planting = { crop, date: '2024-05-06', ...(rowCm === undefined ? {} : { rowCm }) };
  const text = noted('row-width-unusual', { planting });
  expect(text !== undefined).toBe(told);
  if (rowCm === 760)
    expect(text).toContain(
      'Rows of 760 cm (299.2 in) are given; field corn usually stands in rows of 76 cm (29.9 in). ',
    );
});

test.each([
  ['rotary-hoe', undefined, false],
  ['rotary-hoe', 0.5, false],
  ['rotary-hoe', 7, false],
  ['rotary-hoe', 20, true],
  ['rotary-hoe', 0, true],
  ['seedbed-cultivator', 12, false],
  ['seedbed-cultivator', 40, true],
  // It leaves the soil alone, however deep it is said to go.
  ['flame-broadcast', 20, false],
])('a pass with a %s at %s cm: told %s', (implement, depthCm, told) => {
  const passes = [{ date: '2024-05-05', implement, ...(depthCm === undefined ? {} : { depthCm }) }];
  const text = noted('pass-depth-unusual', { passes });
  expect(text !== undefined).toBe(told);
  if (depthCm === 20 && told)
    expect(text).toContain('2024-05-05 rotary-hoe 20 cm (7.9 in), usually 1 cm (0.4 in) to 3.5 cm (1.4 in). ');
});
