import type { Reply } from '../../support/api.ts';
import { FARM_DAY, type MadeFarm, wholeField } from '../../support/madeFarm.ts';

/** One request, or a few that belong together; gives every answer. */
type Job = (turn: number) => Promise<readonly Reply[]>;

/** Reads a record, changes it with the ETag that came, and gives both answers. */
const change = async ({ call }: MadeFarm, path: string): Promise<readonly Reply[]> => {
  const before = await call('GET', path);
  const { data } = JSON.parse(before.text);
  const after = await call(
    'PUT',
    path,
    { ...data, note: `at ${Date.now()}` },
    { 'if-match': before.headers.get('etag') ?? '' },
  );
  return [before, after];
};

/** Makes a record and takes it away again, so that the farm stays as large as it is. */
const comeAndGo = async ({ call, path, fieldIds }: MadeFarm, turn: number): Promise<readonly Reply[]> => {
  const body = { fieldId: fieldIds[turn % 2], date: '2026-05-10', implement: 'rotary-hoe' };
  const made = await call('POST', `${path}/passes`, body, { 'idempotency-key': `turn-${turn}-${process.pid}` });
  const { id } = JSON.parse(made.text);
  return [
    made,
    await call('DELETE', `${path}/passes/${id}`, undefined, { 'if-match': made.headers.get('etag') ?? '' }),
  ];
};

/**
 * What farms and backends ask a server all day, by turn: many reads, some answers that compute, some changes.
 * @param countIds counts that only these jobs change, in turn
 */
export const mixedJobs = (farm: MadeFarm, countIds: readonly string[]): Job => {
  const { call, path, stationId, fieldIds } = farm;
  const read =
    (address: string, headers?: Readonly<Record<string, string>>): Job =>
    async () => [await call('GET', address, undefined, headers)];
  const field = (turn: number): string => `${path}/fields/${fieldIds[turn % 2]}`;
  const posted = wholeField('posted');
  const jobs: readonly Job[] = [
    async (turn) => [await call('GET', field(turn))],
    read(`${path}/fields?limit=10`),
    read(`${path}/tomorrow?on=${FARM_DAY}`),
    async (turn) => [await call('GET', field(turn))],
    read(`${path}/stations/${stationId}/weather`),
    (turn) => comeAndGo(farm, turn),
    read(`${path}/plantings`),
    async () => [await call('POST', '/v1/outlooks', posted)],
    async (turn) => [await call('GET', `${field(turn)}/outlook?on=${FARM_DAY}`)],
    (turn) => change(farm, `${path}/counts/${countIds[Math.floor(turn / jobs.length) % countIds.length]}`),
    read(`${path}/tomorrow?on=${FARM_DAY}&units=us`, { accept: 'text/plain' }),
    read(`${path}/pass-record`, { accept: 'text/csv' }),
    read(`${path}/history?limit=20`),
    read('/v1/catalogue/species/waterhemp'),
    read('/ready'),
  ];
  return (turn) => (jobs[turn % jobs.length] as Job)(turn);
};
