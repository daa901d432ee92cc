import { dayNumber } from '../core/base/day.ts';
import type { FieldInput } from '../core/outlook/schema.ts';
import type { Credited, Deps } from './contract.ts';
import { AHEAD_DAYS, weatherFrom } from './gather.ts';
import { asKnownOn, cut } from './joined.ts';
import type { SourcedRequest } from './schema.ts';
import { together } from './tomorrow.ts';
import { type Origin, weatherOf } from './weather.ts';

/**
 * A field that is sent whole but for its weather, with the weather of the sources that it names, from the autumn before
 * or its planting on.
 * @throws WhitethreadError 'weather-empty' where none of them has any, or what they say
 */
export const sourcedField = async (
  deps: Pick<Deps, 'sources'>,
  { weatherFrom: { observed, forecast, sourceStation }, ...field }: SourcedRequest,
): Promise<Credited<FieldInput>> => {
  const today = dayNumber(field.today);
  const from = weatherFrom(today, field.planting === undefined ? null : dayNumber(field.planting.date));
  const origin: Origin = {
    name: field.name,
    site: field.site,
    observed: observed ?? 'posted',
    forecast: forecast ?? 'none',
    sourceStation,
    posted: async () => null,
  };
  const { weather, credits, notes } = await weatherOf(deps, origin, from, today);
  const known = asKnownOn(cut(weather, from, today + AHEAD_DAYS), today);
  return { answer: { ...field, weather: known }, credits: together(credits), notes };
};
