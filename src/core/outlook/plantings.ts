import type { Planting } from '../crop/schema.ts';
import type { FieldRequest } from './schema.ts';

/** A planting and where in the request it stands. */
export type Named = { readonly planting: Planting; readonly where: string };

/** What was sown or is planned: the crop that the field is told for first, then its companions. */
export const plantingsOf = ({ planting, companions }: Pick<FieldRequest, 'planting' | 'companions'>): Named[] => [
  ...(planting === undefined ? [] : [{ planting, where: 'planting' }]),
  ...companions.map((companion, i) => ({ planting: companion, where: `companions[${i}]` })),
];
