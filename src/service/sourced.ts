import { dayNumber, isoDate } from '../core/base/day.ts';
import { whitethreadError } from '../core/base/errors.ts';
import { plantingsOf } from '../core/outlook/plantings.ts';
import type { FieldInput } from '../core/outlook/schema.ts';
import type { Credited, Deps } from './contract.ts';
import { together } from './credited.ts';
import { AHEAD_DAYS, weatherBegins } from './gather.ts';
import { asKnownOn, cut } from './joined.ts';
import type { SourcedRequest } from './schema.ts';
import { type Origin, weatherOf } from './weather.ts';

const empty = (given: string, allowed: string, advice: string) =>
  whitethreadError([{ code: 'weather-empty', where: 'weatherFrom', given, allowed, advice }]);

/** Refuses sources none of which this server asks. */
const assertAnyAsked = ({ sources }: Pick<Deps, 'sources'>, names: readonly string[]): void => {
  if (names.some((name) => sources[name] !== undefined)) return;
  const asked = Object.keys(sources);
  throw empty(
    names.join(', '),
    asked.length > 0 ? asked.join(', ') : 'no source: this server asks none',
    'Send the weather with the field, or name a source that this server asks',
  );
};

/**
 * A field that is sent whole but for its weather, with the weather of the sources that it names, from the autumn before
 * or its planting on.
 * @throws WhitethreadError 'weather-empty' where none of them has any up to today, or what they say
 */
export const sourcedField = async (
  deps: Pick<Deps, 'sources'>,
  { weatherFrom: { observed, forecast, sourceStation }, ...field }: SourcedRequest,
): Promise<Credited<FieldInput>> => {
  assertAnyAsked(
    deps,
    [observed, forecast].filter((name) => name !== undefined),
  );
  const today = dayNumber(field.today);
  const planted = [...plantingsOf(field).map(({ planting }) => planting), ...field.endedPlantings].map(
    ({ date }) => date,
  );
  const from = weatherBegins(today, planted, field.site.latitudeDeg);
  const origin: Origin = {
    name: field.name,
    site: field.site,
    observed: observed ?? 'none',
    forecast: forecast ?? 'none',
    sourceStation,
    posted: async () => null,
  };
  const { weather, credits, notes } = await weatherOf(deps, origin, from, today);
  const known = asKnownOn(cut(weather, from, today + AHEAD_DAYS), today);
  const last = dayNumber(known.startDate) + known.tempMaxC.length - 1;
  if (last < today)
    throw empty(`weather until ${isoDate(last)}`, `weather until ${field.today}`, 'Name a forecast too');
  return { answer: { ...field, weather: known }, credits: together(credits), notes };
};
