import { describe, expect, test } from 'vitest';
import { loadCatalogue, loadTargets } from '../../src/catalogue/load.ts';
import type { Species } from '../../src/core/weeds/schema.ts';

const catalogue = loadCatalogue();
const speciesOf = (id: string): Species => {
  const found = catalogue.species.find((entry) => entry.id === id);
  if (found === undefined) throw new Error(`no species ${id} in the catalogue`);
  return found;
};

describe('the species of the catalogue', () => {
  test('are at least 30, under different ids', () => {
    expect(new Set(catalogue.species.map((entry) => entry.id)).size).toBe(catalogue.species.length);
    expect(catalogue.species.length).toBeGreaterThanOrEqual(30);
  });

  test('hold annual broadleaves, annual grasses, winter annuals and perennial shoots', () => {
    const kinds = new Set(catalogue.species.map(({ lifeForm, group }) => `${lifeForm} ${group}`));
    for (const kind of [
      'summerAnnual broadleaf',
      'summerAnnual grass',
      'winterAnnual broadleaf',
      'winterAnnual grass',
    ]) {
      expect(kinds).toContain(kind);
    }
    expect(kinds).toContain('perennialShoot broadleaf');
  });

  test.each(catalogue.species.map((entry) => [entry.id, entry] as const))(
    '%s: shares of the waves add up to 1',
    (_, entry) => {
      const sum = entry.germination.components.reduce((total, component) => total + component.shareFrac, 0);
      expect(sum).toBeCloseTo(1, 9);
    },
  );

  test.each(catalogue.species.map((entry) => [entry.id, entry] as const))(
    '%s: base below optimum, and height reached in order',
    (_, { germination, height }) => {
      expect(germination.baseTempC).toBeLessThan(germination.optimumTempC);
      if (height === null) return;
      expect(height.to5CmCd).toBeLessThan(height.to10CmCd);
      expect(height.to10CmCd).toBeLessThan(height.to15CmCd);
    },
  );
});

describe('target dates', () => {
  const targets = loadTargets();

  test('stand beside every species, one for each wave and in the same order', () => {
    for (const { id, germination } of catalogue.species) {
      expect([id, targets.get(id)?.map(({ season }) => season)]).toEqual([
        id,
        germination.components.map(({ season }) => season),
      ]);
    }
  });

  test('ascend from 2 to 90 %, are null only for 90 %, and show evidence', () => {
    for (const { dates, evidence } of [...targets.values()].flat()) {
      const known = [dates.p2, dates.p10, dates.p50, dates.p90 ?? '12-31'];
      expect(known).toEqual([...known].filter((date) => date !== null).sort());
      expect(evidence.length).toBeGreaterThan(0);
    }
  });

  test('keep the order of first emergence at four Iowa sites in 1997, all but cocklebur, Sandell, Hartzler and Buhler 1998', () => {
    const order = [
      'giant-ragweed',
      'common-sunflower',
      'velvetleaf',
      'woolly-cupgrass',
      'giant-foxtail',
      'waterhemp',
      'morningglory',
      'fall-panicum',
    ];
    const first = order.map((id) => targets.get(id)?.[0]?.dates.p2);
    expect(first).toEqual([...first].sort());
  });
});

describe('values that were read keep what the source says', () => {
  test('giant ragweed: base 4.4 C and -2.5 MPa, Goplen et al. 2018, abstract', () => {
    const { baseTempC, basePotentialMPa } = speciesOf('giant-ragweed').germination;
    expect([baseTempC, basePotentialMPa]).toEqual([4.4, -2.5]);
    expect(catalogue.provenance.get('species/giant-ragweed/germination.baseTempC')).toMatchObject({
      basis: 'published',
      source: 'goplen-2018',
      unit: 'C',
    });
  });

  test('common ragweed: germination 3.6 C and optimum 30.9 C, shoots 7.7 C, Shrestha et al. 1999, abstract', () => {
    const { germination, elongation } = speciesOf('common-ragweed');
    expect([germination.baseTempC, germination.optimumTempC, elongation.baseTempC]).toEqual([3.6, 30.9, 7.7]);
  });

  test.each([
    ['shepherds-purse', 4.5, -0.95],
    ['yellow-foxtail', 8.6, -0.75],
    ['pennsylvania-smartweed', 5.8, -1.55],
    ['eastern-black-nightshade', 11.6, -0.89],
  ])(
    '%s: base %d C and %d MPa, Guillemin et al. 2013 (the last two: sister species)',
    (id, baseTempC, basePotentialMPa) => {
      expect(speciesOf(id).germination).toMatchObject({ baseTempC, basePotentialMPa });
      expect(catalogue.provenance.get(`species/${id}/germination.baseTempC`)?.source).toBe('guillemin-2013');
    },
  );

  test('wild oat: base 1 C, -0.6 MPa and 94 C d per leaf, Martinson et al. 2007, abstracts', () => {
    const { germination, leaf } = speciesOf('wild-oat');
    expect([germination.baseTempC, germination.basePotentialMPa, leaf.perLeafCd]).toEqual([1, -0.6, 94]);
  });

  test('wild proso millet: base 6.9 C, Wiese and Binning 1987, abstract', () => {
    expect(speciesOf('wild-proso-millet').germination.baseTempC).toBe(6.9);
  });

  test.each([
    ['giant-ragweed', 1.3, 37.2],
    ['velvetleaf', 8.0, 34.4],
    ['redroot-pigweed', 8.5, 17.3],
    ['large-crabgrass', 4.5, 42.2],
    ['woolly-cupgrass', 2.2, 65.2],
    ['wild-proso-millet', 5.1, 34.2],
  ])('%s: a leaf every so much heat above %d C: %d C d, Gramig and Stoltenberg 2007', (id, baseTempC, perLeafCd) => {
    expect(speciesOf(id).leaf).toEqual({ baseTempC, perLeafCd });
    expect(catalogue.provenance.get(`species/${id}/leaf.perLeafCd`)?.source).toBe('gramig-stoltenberg-2007');
  });

  test('Canada thistle: heat above 0 C from 1 April, Donald 2000', () => {
    const { baseTempC, components } = speciesOf('canada-thistle').germination;
    expect([baseTempC, components[0]?.start]).toEqual([0, '04-01']);
  });

  test('Palmer amaranth: 0.44 of the seed alive after a year, from 98.9 exp(-0.068 x 12) %, Sosnoskie et al. 2013 Table 1', () => {
    expect(speciesOf('palmer-amaranth').seedSurvivalFrac).toBeCloseTo(0.989 * Math.exp(-0.068 * 12), 2);
  });

  test('lambsquarters: stirring makes the flush 1.8 times larger, Schutte et al. 2014 Table 2', () => {
    expect(speciesOf('common-lambsquarters').stirFactor).toBe(1.8);
  });
});
