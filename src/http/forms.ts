import type { OutlookForm } from '../service/contract.ts';

/** Types in which fields and farms are told, JSON where none is asked for. */
export const toldTypes = ['application/json', 'text/csv', 'text/plain'] as const;
/** The form of each for whoever works it out. */
export const formats = { 'application/json': 'json', 'text/csv': 'csv', 'text/plain': 'text' } as const;

/** Nothing is to be done to metric JSON. */
export const isAsItIs = ({ format, units }: Pick<OutlookForm, 'format' | 'units'>): boolean =>
  format === 'json' && units === 'metric';
