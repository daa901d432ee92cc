import { describe, expect, it } from 'vitest';
import { loadCatalogue } from '../../src/catalogue/load.ts';
import { heatToLeafCd } from '../../src/core/crop/stage.ts';
import { weedStages } from '../../src/core/weeds/schema.ts';

const { crops, implements: tools } = loadCatalogue();
const toolIds = new Set(tools.map(({ id }) => id));
const named = <T extends { readonly id: string }>(all: readonly T[]) => all.map((one) => [one.id, one] as const);
const ascends = (values: readonly number[]): boolean =>
  values.every((value, i) => i === 0 || value > (values[i - 1] as number));
const neverFalls = (values: readonly number[]): boolean =>
  values.every((value, i) => i === 0 || value >= (values[i - 1] as number));

describe('what comes with the program', () => {
  it('field and sweet corn, soybean, dry bean, pea, sunflower, five small grains, sorghum, millet, alfalfa', () => {
    expect(crops.map(({ id }) => id)).toEqual([
      'alfalfa-seeding',
      'barley',
      'dry-bean',
      'field-corn',
      'field-pea',
      'millet',
      'oats',
      'sorghum',
      'soybean',
      'spring-wheat',
      'sunflower',
      'sweet-corn',
      'winter-rye',
      'winter-wheat',
    ]);
  });

  it('hoes, tines, row cultivators, in-row tools, flame, current, mower, crew, seedbed', () => {
    expect([...toolIds]).toEqual([
      'electric-over-canopy',
      'finger-weeder',
      'flame-broadcast',
      'flame-directed',
      'hand-crew',
      'mower',
      'rotary-hoe',
      'row-cultivator-early',
      'row-cultivator-layby',
      'row-cultivator-mid',
      'seedbed-cultivator',
      'tine-weeder',
    ]);
  });
});

describe.each(named(crops))('crop %s', (_, crop) => {
  it('curves ascend from emergence on, height and cover never fall', () => {
    for (const curve of [crop.leaf.heatCd, crop.heightCm, crop.coverFrac]) {
      expect(curve[0]?.[0]).toBe(0);
      expect(ascends(curve.map(([leaf]) => leaf))).toBe(true);
      expect(neverFalls(curve.map(([, value]) => value))).toBe(true);
    }
    expect(ascends(crop.leaf.heatCd.map(([, heat]) => heat))).toBe(true);
  });

  it('stages ascend and lie on the leaf clock; tender stages do not overlap', () => {
    expect(ascends(crop.stages.map(({ leaf }) => leaf))).toBe(true);
    expect(crop.stages.at(-1)?.leaf).toBeLessThanOrEqual(crop.leaf.heatCd.at(-1)?.[0] as number);
    const edges = crop.tender.flatMap(({ fromLeaf, toLeaf }) => [fromLeaf, toLeaf]);
    expect(neverFalls(edges)).toBe(true);
  });

  it('the clock runs on past the last stage, so that its latest day can be told', () => {
    const needed = heatToLeafCd(crop, crop.plantingDepthCm.most, crop.stages.at(-1)?.leaf as number);
    const end = heatToLeafCd(crop, crop.plantingDepthCm.most, 30);
    expect(needed * (1 + crop.heatUncertaintyFrac)).toBeLessThan(end);
  });

  it('depths and temperatures in order', () => {
    const { least, usual, most } = crop.plantingDepthCm;
    expect(ascends([least, usual, most])).toBe(true);
    expect(crop.emergence.baseTempC).toBeLessThan(crop.emergence.upperTempC);
    expect(crop.leaf.baseTempC).toBeLessThan(crop.leaf.upperTempC);
  });

  it('each tolerance names a known implement once, and a stage range; blind passes too', () => {
    const ids = crop.tolerances.map(({ implement }) => implement);
    expect(new Set(ids).size).toBe(ids.length);
    for (const id of [...ids, ...(crop.blind?.implements ?? [])]) expect([id, toolIds.has(id)]).toEqual([id, true]);
    for (const { fromLeaf, toLeaf, leastHeightCm = 0, mostHeightCm = 1000 } of crop.tolerances) {
      expect(fromLeaf).toBeLessThan(toLeaf);
      expect(leastHeightCm).toBeLessThan(mostHeightCm);
    }
  });

  it('no hoe is let in at a tender stage', () => {
    const hoes = new Set(tools.filter(({ loosensGroundFrac }) => loosensGroundFrac > 0).map(({ id }) => id));
    for (const tolerance of crop.tolerances.filter(({ implement }) => hoes.has(implement)))
      for (const tender of crop.tender) expect(tolerance.fromLeaf).toBeGreaterThanOrEqual(tender.toLeaf);
  });
});

describe.each(named(tools))('implement %s', (_, tool) => {
  it('kills between low and high, at most all, on at most the whole ground', () => {
    const ground = tool.kill.zones.reduce((sum, zone) => sum + zone.groundFrac, 0);
    expect(ground).toBeLessThanOrEqual(1 + 1e-9);
    for (const zone of tool.kill.zones)
      for (const stage of weedStages)
        for (const { low, mean, high } of [zone.broadleaf[stage], zone.grass[stage]]) {
          expect(low).toBeLessThanOrEqual(mean);
          expect(mean).toBeLessThanOrEqual(high);
        }
  });

  it('kills grasses no better than broadleaf weeds', () => {
    for (const zone of tool.kill.zones)
      for (const stage of weedStages) expect(zone.grass[stage].mean).toBeLessThanOrEqual(zone.broadleaf[stage].mean);
  });

  it('carries cautions, and depths and temperatures in order', () => {
    expect(tool.hazards.length).toBeGreaterThan(0);
    expect(neverFalls([tool.workingDepthCm.least, tool.workingDepthCm.usual, tool.workingDepthCm.most])).toBe(true);
    expect(tool.needs.leastTempMaxC).toBeLessThan(tool.needs.mostTempMaxC);
  });

  it('is let into some crop, or works without one', () => {
    const somewhere = crops.some(({ tolerances }) => tolerances.some(({ implement }) => implement === tool.id));
    expect(somewhere || tool.needs.withoutCrop).toBe(true);
  });
});

it('every tool is kept off soaked ground, whether it stirs it or is carried over it', () => {
  for (const tool of tools) expect(tool.needs.mostWetOfFieldCapacity ?? Number.NaN).toBeLessThanOrEqual(1.1);
});

it('open flame and current warn of fire, and only they', () => {
  const fire = tools.filter(({ needs }) => needs.dryResidueIsFireRisk).map(({ id }) => id);
  expect(fire).toEqual(['electric-over-canopy', 'flame-broadcast', 'flame-directed']);
});
