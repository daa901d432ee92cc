import { createHash } from 'node:crypto';
import { loadCatalogue } from '../../src/catalogue/load.ts';
import { httpApp } from '../../src/http/app.ts';
import type { HttpDeps, HttpOptions } from '../../src/http/contract.ts';
import type { Key, Role, Store } from '../../src/store/contract.ts';
import { inline } from '../support/inline.ts';

export const catalogue = loadCatalogue();

const secret = 'S'.repeat(43);

const keyNamed = (letter: string, role: Role, farmId: string | null): Key => ({
  id: letter.repeat(26),
  farmId,
  role,
  label: role,
  secretHash: createHash('sha256').update(secret).digest('hex'),
  createdAtMs: 0,
  expiresAtMs: null,
  revokedAtMs: null,
});
const keys = [keyNamed('p', 'operator', null), keyNamed('r', 'reader', 'farm00000001')];

const bearer = (letter: string) => ({ authorization: `Bearer wt_${letter.repeat(26)}_${secret}` });
export const operatorKey = bearer('p');
export const readerKey = bearer('r');

/** A database that knows two keys and nothing else. */
const bareStore = {
  ready: async () => undefined,
  key: async (id: string) => keys.find((key) => key.id === id) ?? null,
} as unknown as Store;

/** A test is not refused because others keep the machine busy. */
const options: HttpOptions = { origins: [], ratePerMinute: 100_000, trustProxy: [], logLevel: 'silent', mostLateMs: 0 };

/** A server without a database, for what needs none. */
export const statelessApp = (deps: Partial<HttpDeps> = {}, changed: Partial<HttpOptions> = {}) =>
  httpApp(
    {
      store: bareStore,
      sources: {},
      compute: inline,
      catalogue,
      nowMs: Date.now,
      ...deps,
    },
    { ...options, ...changed },
  );

/** A field with two months of weather, as a backend with its own database sends it. */
export const smallField = {
  site: { latitudeDeg: 42, longitudeDeg: -93.8, elevationM: 300, timeZone: 'America/Chicago' },
  soil: { texture: 'loam' },
  weather: {
    startDate: '2026-03-01',
    forecastFrom: '2026-05-10',
    tempMaxC: Array.from({ length: 80 }, (_, i) => 8 + i * 0.2),
    tempMinC: Array.from({ length: 80 }, (_, i) => -2 + i * 0.2),
    rainMm: Array.from({ length: 80 }, (_, i) => (i % 6 === 0 ? 7 : 0)),
  },
  today: '2026-05-10',
  weeds: [{ species: 'giant-foxtail' }],
  implements: [{ id: 'rotary-hoe' }],
  horizonDays: 2,
};
