import { expect, test } from 'vitest';
import { derivations, withConstants } from '../../src/cli/derivation.ts';
import { syntheticSoil } from '../core/weeds/synthetic.ts';

const soil = syntheticSoil(0, 4 * 365, { meanC: 12 });

test('derives every component of the species asked for, and the result goes into the place of its constants only', () => {
  const found = derivations(soil, ['giant-ragweed-eastern', 'velvetleaf']);
  expect(found.map((one) => [one.speciesId, one.component])).toEqual([
    ['giant-ragweed-eastern', 0],
    ['giant-ragweed-eastern', 1],
    ['velvetleaf', 0],
  ]);
  const wrapped = (value: number) => ({ value, unit: 'C d', basis: 'derived', note: 'working' });
  const file = {
    id: 'velvetleaf',
    germination: {
      components: [{ start: '03-01', lagCd: wrapped(1), scaleCd: wrapped(2), shape: wrapped(3) }],
    },
  };
  const { lagCd, scaleCd, shape } = (found[2] as (typeof found)[number]).derived;
  expect(withConstants(file, found.slice(2))).toEqual({
    id: 'velvetleaf',
    germination: {
      components: [{ start: '03-01', lagCd: wrapped(lagCd), scaleCd: wrapped(scaleCd), shape: wrapped(shape) }],
    },
  });
  expect(withConstants(file, [])).toEqual(file);
});

test('an unknown species is named', () => {
  expect(() => derivations(soil, ['no-such-weed'])).toThrow(/given no-such-weed/);
});
