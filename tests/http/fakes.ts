import { loadCatalogue } from '../../src/catalogue/load.ts';
import { outlook } from '../../src/core/outlook/outlook.ts';
import type { FieldInput } from '../../src/core/outlook/schema.ts';
import { httpApp } from '../../src/http/app.ts';
import type { HttpDeps, HttpOptions } from '../../src/http/contract.ts';
import { refusal } from '../../src/http/errors.ts';
import { csvText } from '../../src/report/csv.ts';
import { outlookRows } from '../../src/report/outlookText.ts';
import { inUsUnits } from '../../src/report/units.ts';
import { shownOutlook } from '../../src/service/answer.ts';
import type { Compute, Who } from '../../src/service/contract.ts';

export const catalogue = loadCatalogue();

/** Computes on the spot, as the workers do away from it. */
export const inlineCompute: Pick<Compute, 'outlook'> = {
  outlook: async (field, { format, units }) => {
    const input: FieldInput = typeof field === 'string' ? JSON.parse(field) : field;
    const answer = shownOutlook(outlook(input, catalogue), input.site.timeZone ?? 'UTC');
    const text =
      format === 'json' ? JSON.stringify(units === 'us' ? inUsUnits(answer) : answer) : csvText(outlookRows(answer));
    return new TextEncoder().encode(text);
  },
};

const keys: Readonly<Record<string, Who>> = {
  'op-key': { keyId: 'k-op', farmId: null, role: 'operator' },
  'reader-key': { keyId: 'k-reader', farmId: 'farm00000001', role: 'reader' },
};

/** Knows two keys. */
export const checkKey = async (key: string): Promise<Who> => {
  const who = keys[key];
  if (who === undefined) throw refusal('unauthenticated', 'header Authorization', 'a key', 'a valid key');
  return who;
};

export const readerKey = { authorization: 'Bearer reader-key' };
export const operatorKey = { authorization: 'Bearer op-key' };

const options: HttpOptions = { origins: [], ratePerMinute: 100_000, trustProxy: [], logLevel: 'silent' };

/** A server without a database, for what needs none. */
export const statelessApp = (deps: Partial<HttpDeps> = {}, changed: Partial<HttpOptions> = {}) =>
  httpApp(
    {
      store: { ready: async () => undefined } as unknown as HttpDeps['store'],
      sources: {},
      compute: inlineCompute as Compute,
      catalogue,
      nowMs: Date.now,
      ...deps,
    },
    checkKey,
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
