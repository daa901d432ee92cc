import { type ChildProcess, execFileSync, fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import autocannon from 'autocannon';
import { Client } from 'undici';
import { dayNumber, isoDate } from '../../src/core/base/day.ts';
import { type Call, caller, good } from '../support/api.ts';
import { operatorKey, type ServerProcess, startServer } from '../support/serverProcess.ts';
import { silent, weatherStub } from '../support/weatherStub.ts';
import { library, program } from './built.ts';
import { benchField } from './field.ts';

/** Both sides take turns, so that a slow moment of the machine slows both; the ratio is the middle one of the turns. */
const TURNS = 3;
const SECONDS = 2;
const CONNECTIONS = 16;

const at = (values: readonly number[], share: number): number => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] as number;
};
const middle = (values: readonly number[]): number => at(values, 0.5);

/** Header fields that a server makes for each answer by itself. */
const ofServer = new Set(['date', 'connection', 'keep-alive', 'content-length']);

type Load = { readonly url: string; readonly method?: 'GET' | 'PUT' | 'POST'; readonly status?: number } & Pick<
  autocannon.Options,
  'headers' | 'body' | 'setupClient'
>;

/** Requests a second; an answer of another status than 200 or the one named ends the bench. */
const rate = async ({ status = 200, ...load }: Load): Promise<number> => {
  const { statusCodeStats, errors, duration } = await autocannon({
    ...load,
    connections: CONNECTIONS,
    duration: SECONDS,
  });
  const { [status]: wanted, ...others } = statusCodeStats as Record<string, { readonly count: number }>;
  if (wanted === undefined || errors > 0 || Object.keys(others).length > 0)
    throw new Error(`${load.url}: ${JSON.stringify(statusCodeStats)}, ${errors} errors`);
  return wanted.count / duration;
};

const inTurns = async (ours: Load, bare: Load): Promise<{ ours: number; bare: number; ratio: number }> => {
  await rate(ours);
  await rate(bare);
  const turns: { ours: number; bare: number }[] = [];
  for (let turn = 0; turn < TURNS; turn++) turns.push({ ours: await rate(ours), bare: await rate(bare) });
  return {
    ours: middle(turns.map((turn) => turn.ours)),
    bare: middle(turns.map((turn) => turn.bare)),
    ratio: middle(turns.map((turn) => turn.ours / turn.bare)),
  };
};

const field = benchField(135, 14);
const weather = {
  startDate: field.weather.startDate,
  tempMaxC: field.weather.tempMaxC.map((c) => c && Math.round(10 * c) / 10),
  tempMinC: field.weather.tempMinC.map((c) => c && Math.round(10 * c) / 10),
  rainMm: field.weather.rainMm.map((mm) => mm && Math.round(10 * mm) / 10),
};

/** The same as a list of days, as those send it who have no columns. */
const rowsOf = ({ startDate, tempMaxC, tempMinC, rainMm }: typeof weather) =>
  tempMaxC.map((most, i) => ({
    date: isoDate(dayNumber(startDate) + i),
    tempMinC: tempMinC[i],
    tempMaxC: most,
    rainMm: rainMm[i],
    kind: 'observed',
  }));

/** So many outlooks in a row: as with the rates, neither side is slowed by what the other left in the machine's caches. */
const IN_A_ROW = 40;
/**
 * Ways to pack, with turns that come first and turns that count. The engines of all three sides go on compiling for the
 * first few hundred outlooks; and a shared machine is slow for seconds at a time.
 */
const PACKINGS = [
  ['identity', 6, 9],
  ['gzip', 1, 3],
  ['br', 1, 3],
] as const;

/** Keeps processes to some of the processors; false where the system has no tool for it. */
const keptTo = (processors: string, pids: readonly (number | undefined)[]): boolean => {
  try {
    for (const pid of pids) execFileSync('taskset', ['-a', '-c', '-p', processors, String(pid)], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
};

/** The times of some in a row, ms. */
const inARow = async (one: () => Promise<unknown> | unknown): Promise<number[]> => {
  const found: number[] = [];
  for (let i = 0; i < IN_A_ROW; i++) {
    const start = performance.now();
    await one();
    found.push(performance.now() - start);
  }
  return found;
};

/**
 * Time of one outlook over HTTP against the same by a call, JSON both; packed only where the caller asks for it. Beside
 * it the least that HTTP and a thread take: a bare server that makes the same call on a thread. The quickest tenth tells
 * what each takes where nothing else runs on the machine.
 */
const outlookRatio = async (
  address: string,
  bare: string,
  authorization: string,
  [packing, warming, counting]: (typeof PACKINGS)[number],
): Promise<void> => {
  const catalogue = library.loadCatalogue();
  const posted = { ...field, weather: { ...field.weather, ...weather } };
  const body = JSON.stringify(posted);
  // One connection and no more than HTTP asks of a client: what is measured is the server.
  const headers = { authorization, 'content-type': 'application/json', 'accept-encoding': packing };
  const [client, bareClient] = [new Client(address), new Client(bare)];
  const asked = (from: Client, path: string) => async (): Promise<void> => {
    const answer = await from.request({ path, method: 'POST', headers, body });
    await answer.body.arrayBuffer();
    if (answer.statusCode !== 200) throw new Error(`outlook: ${answer.statusCode}`);
  };
  const overHttp = asked(client, '/v1/outlooks');
  const overBare = asked(bareClient, '/outlook');
  const byCall = (): string => JSON.stringify(library.outlook(posted, catalogue));
  const turns: { http: number[]; bare: number[]; call: number[] }[] = [];
  for (let turn = 0; turn < warming + counting; turn++)
    turns.push({ http: await inARow(overHttp), bare: await inARow(overBare), call: await inARow(byCall) });
  await Promise.all([client.close(), bareClient.close()]);
  turns.splice(0, warming);
  const ms = (of: 'http' | 'call'): string => middle(turns.map((turn) => middle(turn[of]))).toFixed(2);
  const ratio = (of: 'http' | 'bare', share: number): string =>
    middle(turns.map((turn) => at(turn[of], share) / at(turn.call, share))).toFixed(2);
  const ratios = (of: 'http' | 'bare'): string => `${ratio(of, 0.5)}, of the quickest tenth ${ratio(of, 0.1)}`;
  console.log(`Outlook of one field (${packing}), ms, middle: over HTTP ${ms('http')}, by call ${ms('call')}`);
  console.log(`  ratio ${ratios('http')} (aim: at most 1.15)`);
  console.log(`  a bare server and a thread, not packed: ${ratios('bare')}`);
};

/** How late the server's event loop is while eight callers ask for outlooks. */
const loopDelay = async (call: Call, server: ChildProcess): Promise<void> => {
  const posted = { ...field, weather: { ...field.weather, ...weather } };
  server.send('begin');
  let done = 0;
  const until = performance.now() + 5000;
  const one = async (): Promise<void> => {
    while (performance.now() < until) {
      if ((await call('POST', '/v1/outlooks', posted)).status === 200) done++;
    }
  };
  await Promise.all(Array.from({ length: 8 }, one));
  const heard = once(server, 'message') as Promise<[{ p50: number; p975: number; max: number }]>;
  server.send('end');
  const [{ p50, p975, max }] = await heard;
  console.log(`Event loop while 8 outlooks run (${(done / 5).toFixed(0)} a second), ms late:`);
  console.log(`  p50 ${p50.toFixed(1)}, p97.5 ${p975.toFixed(1)} (aim: under 20), most ${max.toFixed(1)}`);
};

/** Times of stored reads one after the other, ms: 99 of 100 take no longer. */
const readP99 = async (client: Client, path: string, authorization: string): Promise<number> => {
  const found: number[] = [];
  for (let i = 0; i < 4000; i++) {
    const start = performance.now();
    const { body } = await client.request({ path, method: 'GET', headers: { authorization } });
    await body.arrayBuffer();
    found.push(performance.now() - start);
  }
  return at(found, 0.99);
};

/** Whether reads wait longer while a weather service keeps fifty callers waiting who asked for its weather. */
const besideSlowSource = async (server: ServerProcess, path: string, authorization: string): Promise<void> => {
  const client = new Client(server.address);
  const { weather: _, planting: __, ...bare } = field;
  const alone: number[] = [];
  const beside: number[] = [];
  for (let turn = 0; turn <= TURNS; turn++) {
    const before = await readP99(client, path, authorization);
    const gone = new AbortController();
    const waiting = Array.from({ length: 50 }, (_, i) =>
      fetch(`${server.address}/v1/outlooks`, {
        method: 'POST',
        headers: { authorization, 'content-type': 'application/json' },
        body: JSON.stringify({
          ...bare,
          site: { ...bare.site, latitudeDeg: 30 + (50 * turn + i) / 10 },
          weatherFrom: { forecast: 'global' },
        }),
        signal: gone.signal,
      }).catch(() => undefined),
    );
    await pause(200);
    const during = await readP99(client, path, authorization);
    gone.abort();
    await Promise.all(waiting);
    if (turn === 0) continue;
    alone.push(before);
    beside.push(during);
  }
  await client.close();
  const ratio = middle(beside.map((ms, turn) => ms / (alone[turn] ?? Number.NaN)));
  console.log(
    `Stored reads one by one, ms that 99 of 100 take at most: ${middle(alone).toFixed(2)}, while 50 wait for a silent weather service ${middle(beside).toFixed(2)}`,
  );
  console.log(`  ratio ${ratio.toFixed(2)} (aim: 0.8 to 1.2)`);
};

const folder = mkdtempSync(join(tmpdir(), 'load-'));
const store = `sqlite:${join(folder, 'load.db')}`;
const operator = await operatorKey(store);
const measured = [process.execPath, '--import', new URL('./loopDelay.js', import.meta.url).href, program];
const services = await weatherStub(Date.now);
services.mood = silent;
const env = {
  WHITETHREAD_CONTACT: 'bench@farm.example',
  WHITETHREAD_SOURCES: `global=${services.url}`,
  // The most there is: a quick machine asks for more than a million in the minute.
  WHITETHREAD_RATE_PER_MINUTE: '1000000000',
};
const server = await startServer({ store, ipc: true, command: measured, env });
let bare: ChildProcess | undefined;
try {
  const asOperator = caller(server.address, operator);
  const farm = good(await asOperator('POST', '/v1/farms', { name: 'bench', timeZone: 'America/Chicago' }));
  const farmPath = `/v1/farms/${farm.id}`;
  const made = good<{ key: string }>(await asOperator('POST', `${farmPath}/keys`, { role: 'keeper', label: 'bench' }));
  const call = caller(server.address, made.key);
  const { latitudeDeg, longitudeDeg } = field.site;
  const stationPaths: string[] = [];
  for (let i = 0; i < CONNECTIONS; i++) {
    const made = good(await call('POST', `${farmPath}/stations`, { name: `yard ${i}`, latitudeDeg, longitudeDeg }));
    stationPaths.push(`${farmPath}/stations/${made.id}`);
  }
  const [stationPath = ''] = stationPaths;
  const authorization = { authorization: `Bearer ${made.key}` };
  const { text, headers } = await call('GET', stationPath);
  const fields = Object.fromEntries([...headers].filter(([name]) => !ofServer.has(name)));

  bare = fork(
    fileURLToPath(new URL('./loadBare.ts', import.meta.url)),
    [text, JSON.stringify(fields), join(folder, 'bare.db')],
    {
      execArgv: ['--import', import.meta.resolve('tsx')],
    },
  );
  const [twin] = (await once(bare, 'message')) as [{ small: string; bare: string }];

  const stored: Load = { url: server.address + stationPath, headers: authorization };
  for (const [path, same] of [
    ['/whole', `the same bytes, ${Object.keys(fields).length} header fields among them`],
    ['/body', 'the same body alone'],
  ]) {
    const read = await inTurns(stored, { url: twin.small + path });
    const [ours, theirs] = [read.ours.toFixed(0), read.bare.toFixed(0)];
    console.log(
      `Stored record of ${text.length} bytes, requests a second: here ${ours}, bare fastify ${theirs} (${same})`,
    );
    console.log(`  ratio ${read.ratio.toFixed(2)} (aim: at least 0.75)`);
  }

  const type = { 'content-type': 'application/json' };
  /** Two years that differ by a tenth of a degree: sent in turns, each has something to write. */
  const years = [weather, { ...weather, tempMaxC: weather.tempMaxC.map((c) => c && Math.round(10 * c + 1) / 10) }];
  const [body = '', other = ''] = years.map((year) => JSON.stringify(year));
  let turn = 0;
  /** Each connection has a station of its own: of two writers of one series one would begin again. */
  const puts = (bodies: readonly string[]): Load => ({
    url: server.address,
    setupClient: (client) => {
      const path = `${stationPaths[turn++ % CONNECTIONS]}/weather`;
      const put = { path, method: 'PUT', headers: { ...authorization, ...type } } as const;
      client.setRequests(bodies.map((one) => ({ ...put, body: one })));
    },
  });
  const parses: Load = { url: twin.bare, method: 'POST', headers: type, body, status: 204 };
  const year = await inTurns(puts([body, other]), parses);
  const [ours, theirs] = [year.ours.toFixed(0), year.bare.toFixed(0)];
  console.log(
    `A year of weather of ${body.length} bytes, kept on disk, requests a second: here ${ours}, JSON.parse alone ${theirs}`,
  );
  console.log(`  ratio ${year.ratio.toFixed(2)} (aim: at least 0.5, beside one of the two: docs/decisions/009)`);
  const keeps = await inTurns({ ...parses, url: `${twin.bare}/keep` }, parses);
  console.log(
    `  JSON.parse and a durable write with nothing checked: ${keeps.ours.toFixed(0)}, ratio ${keeps.ratio.toFixed(2)}`,
  );
  const rows = JSON.stringify(rowsOf(weather));
  const byRows = await inTurns(puts([body, other]), { ...parses, body: rows });
  console.log(
    `  beside JSON.parse of the same year as ${rows.length} bytes of days: ${byRows.bare.toFixed(0)}, ratio ${byRows.ratio.toFixed(2)} (aim: at least 0.5)`,
  );
  const again = await inTurns(puts([body]), parses);
  console.log(`  the same again, nothing to write: ${again.ours.toFixed(0)}, ratio ${again.ratio.toFixed(2)}`);

  const outlooks = async (packings: readonly (typeof PACKINGS)[number][]): Promise<void> => {
    for (const packing of packings) await outlookRatio(server.address, twin.bare, authorization.authorization, packing);
  };
  // A processor that slept while another computed wakes slow, the more so on a machine that others share: on one for all,
  // what is compared is the work.
  const all = [server.process.pid, bare.pid, process.pid];
  if (keptTo('0', all)) {
    console.log('All on one processor:');
    await outlooks(PACKINGS);
    keptTo(`0-${availableParallelism() - 1}`, all);
    console.log('On any processor:');
    await outlooks([PACKINGS[0]]);
  } else await outlooks(PACKINGS);
  await loopDelay(call, server.process);
  await besideSlowSource(server, stationPath, authorization.authorization);
} finally {
  bare?.disconnect();
  await server.stop();
  await services.close();
  rmSync(folder, { recursive: true, force: true });
}
