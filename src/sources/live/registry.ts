import { readFileSync } from 'node:fs';
import { whitethreadError } from '../../core/base/errors.ts';
import { nameless } from '../../core/base/nameless.ts';
import { archive } from './archive.ts';
import { type Client, type ClientOptions, sourceClient } from './client.ts';
import type { LiveSource, SourceId } from './contract.ts';
import { globalForecast } from './global.ts';
import { type Limits, usualLimits } from './http.ts';
import type { Means, Shelf } from './keeping.ts';
import { ncei } from './ncei.ts';
import { power } from './power.ts';
import { type DaysOf, daysOf } from './reading.ts';
import { usGrid } from './usGrid.ts';
import type { SourceWatch } from './watch.ts';

const HOUR_MS = 3_600_000;
type Service = Pick<ClientOptions, 'baseUrl' | 'usualFreshMs' | 'mostKept'>;
/** Forecasts are short and soon old, the past is long and stays. */
const forecast = { usualFreshMs: HOUR_MS / 4, mostKept: 5_000 };
const past = { usualFreshMs: 6 * HOUR_MS, mostKept: 200 };

/** Where the services live when the configuration does not say otherwise. */
const services: Readonly<Record<SourceId, Service>> = {
  power: { baseUrl: 'https://power.larc.nasa.gov', ...past },
  ncei: { baseUrl: 'https://www.ncei.noaa.gov', ...past },
  archive: { baseUrl: 'https://archive-api.open-meteo.com', ...past },
  'us-grid': { baseUrl: 'https://api.weather.gov', ...forecast },
  global: { baseUrl: 'https://api.open-meteo.com', ...forecast },
};

export type SourcesConfig = {
  /** Whom a service can write to: an e-mail or web address. It goes out with every call. */
  readonly userAgentContact: string;
  readonly bases?: Partial<Record<SourceId, string>>;
  readonly nowMs?: () => number;
  /** A number from 0 to 1, for the waits between retries. */
  readonly random?: () => number;
  readonly limits?: Partial<Limits>;
  /** Where answers are read; on the thread that asked where nothing else is given. */
  readonly days?: DaysOf;
  /** Where answers outlast the process; nowhere where nothing else is given. */
  readonly shelf?: Shelf;
  /** Of the places and answers that are kept, this share. */
  readonly keptFrac?: number;
  /** Told how the sources are; nobody where nothing else is given. */
  readonly watch?: SourceWatch;
};

const noShelf: Shelf = { taken: async () => null, put: () => {} };

const CONTACT_FORM = /^[\w.+@:/~-]{3,200}$/;
export const CONTACT = 'an e-mail or web address';
/** Whether a service can write to it; it goes into a header field. */
export const isContact = (text: string): boolean => CONTACT_FORM.test(text);

export const BASE = 'an address that begins with http:// or https://, without user, password, query or fragment';
/** Whether it can stand before the paths of a service. Nothing but origin and path would go out. */
export const isBase = (text: string): boolean => {
  if (!URL.canParse(text)) return false;
  const { protocol, username, password, search, hash } = new URL(text);
  return /^https?:$/.test(protocol) && username + password + search + hash === '';
};

const wrong = (where: string, given: string, allowed: string) =>
  whitethreadError([{ code: 'invalid-input', where, given, allowed }]);

const checkedBase = (id: SourceId, base: string): string => {
  if (!isBase(base)) throw wrong(`sources.${id}`, nameless(base), BASE);
  return base;
};

const productVersion = (): string =>
  JSON.parse(readFileSync(new URL('../../../package.json', import.meta.url), 'utf8')).version;

/**
 * Every live weather source by its id.
 * @throws WhitethreadError 'invalid-input' for a contact or a base address that cannot be one
 */
export const liveSources = (config: SourcesConfig): Record<SourceId, LiveSource> => {
  const { userAgentContact, bases = {}, nowMs = Date.now, random = Math.random, limits = {}, keptFrac = 1 } = config;
  if (!isContact(userAgentContact)) throw wrong('sources.contact', userAgentContact, CONTACT);
  const userAgent = `whitethread/${productVersion()} (${userAgentContact})`;
  const client = (id: SourceId): Client =>
    sourceClient({
      id,
      ...services[id],
      mostKept: Math.ceil(keptFrac * services[id].mostKept),
      baseUrl: checkedBase(id, bases[id] ?? services[id].baseUrl),
      userAgent,
      nowMs,
      random,
      watch: config.watch,
      limits: { ...usualLimits, ...limits },
    });
  const means: Means = { nowMs, days: config.days ?? daysOf, shelf: config.shelf ?? noShelf, keptFrac };
  return {
    power: power(client('power'), means),
    ncei: ncei(client('ncei'), means),
    archive: archive(client('archive'), means),
    'us-grid': usGrid(client('us-grid'), client('us-grid'), means),
    global: globalForecast(client('global'), means),
  };
};
