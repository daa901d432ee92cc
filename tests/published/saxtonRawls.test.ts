import { describe, expect, it } from 'vitest';
import { matricPotentialMPa } from '../../src/core/soil/potential.ts';
import { type TextureClass, textureClasses } from '../../src/core/soil/schema.ts';
import { hydraulics, soilConstants } from '../../src/core/soil/texture.ts';

/** Class table of Saxton & Rawls 2006, Soil Sci. Soc. Am. J. 70:1569, at 2.5 % organic matter: per cent and mm/h. */
const table: readonly (readonly [TextureClass, number, number, number, number])[] = [
  ['sand', 5, 10, 46, 108.1],
  ['loamy-sand', 5, 12, 46, 96.7],
  ['sandy-loam', 8, 18, 45, 50.3],
  ['loam', 14, 28, 46, 15.5],
  ['silt-loam', 11, 31, 48, 16.1],
  ['silt', 6, 30, 48, 22.0],
  ['sandy-clay-loam', 17, 27, 43, 11.3],
  ['clay-loam', 22, 36, 48, 4.3],
  ['silty-clay-loam', 22, 38, 51, 5.7],
  ['silty-clay', 27, 41, 52, 3.7],
  ['sandy-clay', 25, 36, 44, 1.4],
  ['clay', 30, 42, 50, 1.1],
];

const constantsOf = (texture: TextureClass) =>
  soilConstants({ texture, organicMatterFrac: 0.025, drainage: 'moderate', residueCoverFrac: 0, slopeFrac: 0 });

describe('Saxton & Rawls 2006, class table', () => {
  it.each(table)(
    '%s: wilting point %d, field capacity %d, saturation %d %%, Ks %d mm/h',
    (texture, wp, fc, sat, ks) => {
      const soil = constantsOf(texture);
      expect(Math.round(100 * soil.wiltingPoint)).toBe(wp);
      expect(Math.round(100 * soil.fieldCapacity)).toBe(fc);
      expect(Math.round(100 * soil.saturation)).toBe(sat);
      expect(Math.abs(soil.conductivityMmPerH - ks)).toBeLessThanOrEqual(0.0501);
    },
  );

  it('has all twelve classes of the triangle', () => {
    expect(table.map(([texture]) => texture).sort()).toEqual([...textureClasses].sort());
  });

  it('measured sand and clay go before the class', () => {
    const soil = { texture: 'sand', sandFrac: 0.1, clayFrac: 0.35, organicMatterFrac: 0.025 } as const;
    const rest = { drainage: 'moderate', residueCoverFrac: 0, slopeFrac: 0 } as const;
    expect(soilConstants({ ...soil, ...rest })).toEqual(hydraulics(0.1, 0.35, 0.025));
  });
});

describe('Saxton & Rawls 2006, potential (eqs. 11-13)', () => {
  it.each(textureClasses)('%s: -1500 kPa at wilting point, -33 kPa at field capacity, 0 at saturation', (texture) => {
    const soil = constantsOf(texture);
    expect(matricPotentialMPa(soil.wiltingPoint, soil)).toBeCloseTo(-1.5, 9);
    expect(matricPotentialMPa(soil.fieldCapacity, soil)).toBeCloseTo(-0.033, 9);
    expect(matricPotentialMPa(soil.saturation, soil)).toBe(0);
  });

  it('rises with water from air-dry to saturated, without a jump at field capacity, and stays above -15 MPa', () => {
    for (const texture of textureClasses) {
      const soil = constantsOf(texture);
      let previous = matricPotentialMPa(0, soil);
      expect(previous).toBeGreaterThanOrEqual(-15);
      for (let water = 0.001; water <= soil.saturation; water += 0.0005) {
        const potential = matricPotentialMPa(water, soil);
        expect(potential).toBeGreaterThanOrEqual(previous);
        previous = potential;
      }
      const step = 1e-9;
      const jump = matricPotentialMPa(soil.fieldCapacity + step, soil) - matricPotentialMPa(soil.fieldCapacity, soil);
      expect(jump).toBeLessThan(1e-6);
    }
  });

  // Contents at -100, -300 and -1000 kPa, worked from the equations (soil by its class point).
  it.each([
    ['sand', 0.084, 0.068, 0.054],
    ['sandy-loam', 0.142, 0.113, 0.088],
    ['loam', 0.227, 0.185, 0.148],
    ['silt-loam', 0.227, 0.169, 0.122],
    ['clay-loam', 0.31, 0.269, 0.23],
    ['silty-clay-loam', 0.323, 0.274, 0.229],
    ['clay', 0.381, 0.345, 0.309],
  ] as const)('%s holds %d at -100, %d at -300 and %d m3/m3 at -1000 kPa', (texture, at100, at300, at1000) => {
    const soil = constantsOf(texture);
    const holds = (kPa: number) => (soil.a / kPa) ** (1 / soil.b);
    expect(holds(100)).toBeCloseTo(at100, 3);
    expect(holds(300)).toBeCloseTo(at300, 3);
    expect(holds(1000)).toBeCloseTo(at1000, 3);
    expect(matricPotentialMPa(holds(300), soil)).toBeCloseTo(-0.3, 9);
  });
});
