import { type DayNumber, isoDate } from '../base/day.ts';
import { rounded, roundedColumn } from '../base/numbers.ts';
import { plusMinusDays } from '../weeds/bands.ts';
import type { SpeciesDays, WeedDays } from '../weeds/days.ts';
import { flushes } from '../weeds/flushes.ts';
import { reachedDay } from '../weeds/reached.ts';
import { type Species, weedStages } from '../weeds/schema.ts';
import { standingDeadline } from '../weeds/seedSet.ts';
import { type WeedYear, weedYear } from '../weeds/weedYear.ts';
import { band, following, orLater } from './bands.ts';
import type { Chosen } from './catalogue.ts';
import type { DatedBand, Flush, Outlook } from './schema.ts';

/** The part of the series that an answer shows, and where its field lies. */
export type Shown = {
  readonly from: DayNumber;
  readonly to: DayNumber;
  readonly today: DayNumber;
  readonly latitudeDeg: number;
};

const SHARE_DIGITS = 4;

/** Flowering of an early plant may be so many days off: dates are for 40 degrees and differ by population. Default. */
const SEED_SET_DAYS = 10;

/** What a cumulative column gained since the first shown morning. */
const slice = (column: Float64Array, first: number, last: number): number[] =>
  roundedColumn(column, first, last + 1, SHARE_DIGITS, first > 0 ? column[first] : 0);

/** What lives of a species on the morning of a day of the series, by stage. */
export const stockOn = ({ stockFrac }: SpeciesDays, index: number): Outlook['emergence'][number]['stock'] =>
  weedStages.map((stage, s) => ({ stage, stockFrac: rounded(stockFrac[s]?.[index] ?? 0, SHARE_DIGITS) }));

/** The year of each species that holds today. */
export const weedYears = (weeds: WeedDays, { species }: Chosen, { today, latitudeDeg }: Shown): WeedYear[] =>
  weeds.species.map((one, i) => weedYear(weeds, one, species[i]?.species as Species, today, latitudeDeg < 0));

/** Emergence of every species over the shown days, with its 10, 50 and 90 % dates and the stock of this morning. */
export const emergenceAnswer = (
  weeds: WeedDays,
  years: readonly WeedYear[],
  { species }: Chosen,
  shown: Shown,
): Outlook['emergence'] => {
  const first = shown.from - weeds.startDay;
  const last = shown.to - weeds.startDay;
  const today = shown.today - weeds.startDay;
  const southern = shown.latitudeDeg < 0;
  return weeds.species.map((one, i) => {
    const kind = species[i]?.species as Species;
    const year = years[i] as WeedYear;
    const reached = (shareFrac: number, before: DatedBand | null) => {
      const found = reachedBand(one, year, shareFrac, kind, weeds.startDay, shown.latitudeDeg);
      return found && following(before, found);
    };
    const deadline = standingDeadline(kind, one.standingFrac, weeds.startDay, shown.today, southern);
    const p10 = reached(0.1, null);
    const p50 = reached(0.5, p10);
    return {
      species: one.speciesId,
      commonName: kind.commonName,
      emergedFrac: slice(one.emergedFrac, first, last),
      potentialFrac: slice(one.potentialFrac, first, last),
      yearFrom: isoDate(year.fromDay),
      upFrac: rounded(
        (year.missedFrac + one.potentialFrac[today] - one.potentialFrac[year.first]) / year.totalFrac,
        SHARE_DIGITS,
      ),
      p10,
      p50,
      p90: reached(0.9, p50 ?? p10),
      seedSetDeadline: band(deadline.day, SEED_SET_DAYS),
      pastSeedSetFrac: rounded(deadline.pastFrac, SHARE_DIGITS),
      stock: stockOn(one, today),
    };
  });
};

/** When that share of its year is up; null where that is before or after what is known. */
const reachedBand = (
  { potentialFrac }: SpeciesDays,
  year: WeedYear,
  shareFrac: number,
  kind: Species,
  startDay: DayNumber,
  latitudeDeg: number,
): DatedBand | null => {
  const level = shareFrac * year.totalFrac - year.missedFrac;
  const day = level <= 0 ? null : reachedDay(potentialFrac, startDay, level, year.first);
  return day === null || day >= startDay + year.end ? null : band(day, plusMinusDays(kind, shareFrac, latitudeDeg));
};

/** The waves of the weed year, their dates as far off as the least certain of their main species. */
export const flushAnswer = (
  weeds: WeedDays,
  years: readonly WeedYear[],
  { species }: Chosen,
  shown: Shown,
): Flush[] => {
  const weights = species.map(({ relativeDensity }) => relativeDensity);
  const byId = new Map(species.map(({ species: kind }) => [kind.id, kind]));
  return flushes(weeds, weights, years).map((wave) => {
    // The species that make up most of the wave decide how sure its dates are.
    const main = wave.species.filter(({ shareFrac }) => shareFrac >= 0.1).map(({ speciesId }) => byId.get(speciesId));
    const off = (shareFrac: number) =>
      Math.max(...main.map((kind) => plusMinusDays(kind as Species, shareFrac, shown.latitudeDeg)), 0);
    const unfinished = wave.goesOn ? orLater : band;
    // Each date is off by days of its own; what comes later may not be done before what comes first has begun.
    const start = band(wave.startDay, off(0.1));
    const peak = following(start, unfinished(wave.peakDay, off(0.5)));
    const threadsFrom = unfinished(wave.whiteThreadFromDay, off(0.1));
    const threadsPeak = following(threadsFrom, unfinished(wave.whiteThreadPeakDay, off(0.5)));
    return {
      start,
      peak,
      end: following(peak, unfinished(wave.endDay, off(0.9))),
      shareFrac: rounded(wave.shareFrac, SHARE_DIGITS),
      goesOn: wave.goesOn,
      species: wave.species.map(({ speciesId, shareFrac }) => ({
        species: speciesId,
        shareFrac: rounded(shareFrac, SHARE_DIGITS),
      })),
      whiteThreadFrom: threadsFrom,
      whiteThreadPeak: threadsPeak,
      whiteThreadTo: following(threadsPeak, unfinished(wave.whiteThreadToDay, off(0.5))),
    };
  });
};
