import { z } from 'zod';
import { frac } from '../base/quantity.ts';

/** The twelve texture classes of the USDA triangle. */
export const textureClasses = [
  'sand',
  'loamy-sand',
  'sandy-loam',
  'loam',
  'silt-loam',
  'silt',
  'sandy-clay-loam',
  'clay-loam',
  'silty-clay-loam',
  'sandy-clay',
  'silty-clay',
  'clay',
] as const;
export type TextureClass = (typeof textureClasses)[number];

/** What the field is made of and what lies on it. Give a texture class, or sand and clay when a laboratory measured them. */
export const soil = z
  .strictObject({
    texture: z
      .enum(textureClasses)
      .describe('Counts for sandFrac or clayFrac where that one is not given, at most for what the other leaves')
      .optional(),
    sandFrac: frac().describe('Measured share of sand by weight; goes before that of the texture class').optional(),
    clayFrac: frac().describe('Measured share of clay by weight; goes before that of the texture class').optional(),
    /** Organic matter by weight; the regression behind the soil constants holds to 0.08. */
    organicMatterFrac: frac().max(0.08).default(0.025),
    /** How fast spare water leaves: tile-drained or sandy subsoil is good, a pan or a wet bottom is poor. */
    drainage: z.enum(['poor', 'moderate', 'good']).default('moderate'),
    /** Share of the ground under dead residue. */
    residueCoverFrac: frac().default(0),
    /** Rise over run, 0.05 is a five per cent slope. */
    slopeFrac: frac().default(0),
  })
  .refine((s) => s.texture !== undefined || (s.sandFrac !== undefined && s.clayFrac !== undefined), {
    error: 'a texture class, or both sandFrac and clayFrac',
  })
  .refine((s) => (s.sandFrac ?? 0) + (s.clayFrac ?? 0) <= 1, {
    error: 'sandFrac and clayFrac that add up to at most 1',
  });
export type Soil = Readonly<z.infer<typeof soil>>;
