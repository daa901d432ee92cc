import { type DailyWeather, dailyWeather } from '../../core/weather/schema.ts';
import { type ArchiveWanted, archiveDays } from './archive.ts';
import { sound } from './days.ts';
import { type GlobalWanted, globalDays } from './global.ts';
import { bodyJson } from './json.ts';
import { type NceiWanted, nceiDays } from './ncei.ts';
import { type PowerWanted, powerDays } from './power.ts';
import { replyAs } from './schema.ts';
import { type GridWanted, gridDays } from './usGrid.ts';

/** Days that were read before and kept, as JSON of ours. */
type KeptWanted = { readonly source: 'kept' };

/** What an answer is read for, as data that can go to another thread. */
export type Wanted = KeptWanted | PowerWanted | NceiWanted | ArchiveWanted | GlobalWanted | GridWanted;

/**
 * Reads the days out of an answer; here, or on another thread. The bytes are the reader's from then on.
 * Throws 'source-malformed' where it cannot be weather, and whatever keeps it from being read.
 */
export type DaysOf = (wanted: Wanted, bytes: Uint8Array) => DailyWeather | Promise<DailyWeather>;

/** The days of an answer. @throws Failure 'source-malformed' */
export const daysOf = (wanted: Wanted, bytes: Uint8Array): DailyWeather => {
  const body = bodyJson(wanted.source, bytes);
  switch (wanted.source) {
    case 'kept':
      return sound(wanted.source, replyAs(dailyWeather, body, wanted.source));
    case 'power':
      return powerDays(body, wanted);
    case 'ncei':
      return nceiDays(body, wanted);
    case 'archive':
      return archiveDays(body, wanted);
    case 'global':
      return globalDays(body, wanted);
    case 'us-grid':
      return gridDays(body, wanted);
  }
};
