import { setTimeout as pause } from 'node:timers/promises';
import { isWhitethreadError, whitethreadError } from '../core/base/errors.ts';
import type { Check, Row } from '../store/contract.ts';
import { isMeant, type Meant, meantText } from '../store/meant.ts';
import type { Deps, Who } from './contract.ts';
import { mayI } from './keys.ts';
import type { StationRecord } from './records/schema.ts';
import { readFarm } from './records.ts';
import type { PostedWeather } from './takenWeather.ts';
import { siteOf, stationFor } from './weather.ts';
import { dateAt } from './zone.ts';

/** How a series is kept. */
export type KeepHow = {
  /** On top of what there is, day by day; false for in its place. */
  readonly add: boolean;
  /** The version of the series that is meant, 0 for none; null for whatever there is or is not. */
  readonly version: Meant | null;
};

/** A series that was kept, and what was odd about it. */
export type KeptWeather = { readonly row: Row; readonly findings: readonly string[] };

/** That a station looks elsewhere for its weather. */
const notUsed = ({ observed }: StationRecord): string[] =>
  observed === 'posted'
    ? []
    : [
        `This series is kept but not used: the station takes its observations from ${observed}. To use it, give the station \`observed\`: \`posted\``,
      ];

/**
 * The weather that was posted for a station. That of one that was removed stays for the certifier's record and is told to
 * nobody else.
 * @throws WhitethreadError 'not-found'
 */
export const readWeather = async (deps: Pick<Deps, 'store'>, farmId: string, stationId: string): Promise<Row> => {
  const [{ name, observed }, row] = await Promise.all([
    stationFor(deps, farmId, stationId),
    deps.store.read(farmId, 'weather', stationId),
  ]);
  if (row !== null) return row;
  throw whitethreadError([
    {
      code: 'not-found',
      where: `weather of ${name}`,
      given: `station ${stationId}, for which no weather has been posted`,
      allowed: 'a station whose weather has been posted',
      advice:
        observed === 'posted'
          ? 'Put a series to this address first, as columns or CSV'
          : `Its weather is asked of ${observed} whenever a field needs it`,
    },
  ]);
};

/** @throws WhitethreadError 'version-conflict' where another version than the one that is meant stands, or none yet */
const assertMeant = (meant: Meant | null, before: Row | null): void => {
  if (meant === null || (before === null ? meant === 0 : isMeant(meant, before.version))) return;
  throw whitethreadError([
    {
      code: 'version-conflict',
      where: 'weather',
      given: meantText(meant),
      allowed:
        before === null
          ? 'no version, as no series has been posted for the station yet'
          : `the version that stands, ${before.version}`,
    },
  ]);
};

/** Null where another was faster, and who sent this did not mean one version alone. */
const keptOnce = async (
  deps: Deps,
  who: Who,
  farmId: string,
  stationId: string,
  posted: PostedWeather,
  { add, version: meant }: KeepHow,
): Promise<KeptWeather | null> => {
  const { timeZone } = await readFarm(deps, farmId);
  const station = await stationFor(deps, farmId, stationId);
  const before = await deps.store.read(farmId, 'weather', stationId);
  const taken = await deps.compute.takenWeather({
    ...posted,
    before: add && before !== null ? before.text : null,
    site: siteOf(station, timeZone),
    today: dateAt(deps.nowMs(), timeZone),
  });
  assertMeant(meant, before);
  const { text } = taken;
  const findings = [...notUsed(station), ...taken.findings];
  // Whoever sends the same every hour would fill the history with it.
  if (before?.text === text) return { row: before, findings };
  const row = { farmId, kind: 'weather', id: stationId, parentId: stationId, text };
  const stamp = { keyId: who.keyId, atMs: deps.nowMs() };
  const check: Check = async (inside) => void (await stationFor({ store: inside }, farmId, stationId));
  try {
    const stored =
      before === null
        ? (await deps.store.create(row, stamp, undefined, check)).row
        : await deps.store.change(row, before.version, stamp, check);
    return { row: stored, findings };
  } catch (error) {
    const isOvertaken = isWhitethreadError(error) && error.code === 'version-conflict';
    // Who names one version means that one; of several another may stand now.
    if (isOvertaken && typeof meant !== 'number') return null;
    throw error;
  }
};

/** Who does not mean one version alone means the one that stands: how often that may change while the weather is looked through. */
const MOST_TRIES = 8;
/** Longest wait before the second try; before each further one it may be as much longer. */
const PAUSE_MS = 25;

const overtaken = () =>
  whitethreadError([
    {
      code: 'overloaded',
      where: 'weather',
      given: `a series that others changed ${MOST_TRIES} times while this was looked through`,
      allowed: 'the same request later',
    },
  ]);

/**
 * Keeps the weather of a station. What is kept already stays at its version.
 * @throws WhitethreadError 'forbidden', 'not-found', 'version-conflict' where a version is named, 'overloaded' where none
 * is and others are faster, and what is wrong with the weather
 */
export const keepWeather = async (
  deps: Deps,
  who: Who,
  farmId: string,
  stationId: string,
  posted: PostedWeather,
  how: KeepHow,
): Promise<KeptWeather> => {
  mayI(who, 'planner', farmId);
  for (let tries = 1; ; tries++) {
    const kept = await keptOnce(deps, who, farmId, stationId, posted, how);
    if (kept !== null) return kept;
    if (tries === MOST_TRIES) throw overtaken();
    // By chance, so that those who came at once do not try again at once.
    await pause(Math.random() * PAUSE_MS * tries);
  }
};
