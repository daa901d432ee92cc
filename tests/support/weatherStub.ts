import { createHash } from 'node:crypto';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { gzipSync } from 'node:zlib';
import { DateTime } from 'luxon';
import { dayNumber, isoDate } from '../../src/core/base/day.ts';
import { datesBetween, gridBody, nceiBody, openMeteoBody, pointsBody, powerBody } from './weatherShapes.ts';

/** What the stub would send on a good day: the documented shape for the address that was asked. */
type Body = unknown;

/** How the services are today. It gets the good body and answers as it likes. */
export type Mood = (response: ServerResponse, body: Body, request: IncomingMessage) => void;

const json = (response: ServerResponse, status: number, body: unknown, headers: Record<string, string> = {}): void => {
  response.writeHead(status, { 'content-type': 'application/json', ...headers });
  response.end(JSON.stringify(body));
};

/** Answers well, with ETag, and 304 where the client has it. @param headers Cache-Control and the like */
export const well =
  (headers: Record<string, string> = { 'cache-control': 'no-cache' }): Mood =>
  (response, body, request) => {
    const etag = `"${createHash('sha1').update(JSON.stringify(body)).digest('hex')}"`;
    if (request.headers['if-none-match'] === etag) response.writeHead(304, { etag, ...headers }).end();
    else json(response, 200, body, { etag, ...headers });
  };

/** Answers well, but changed: a fault put into the documented shape. */
export const changed =
  <T>(change: (body: T) => unknown): Mood =>
  (response, body) =>
    json(response, 200, change(structuredClone(body) as T), { 'cache-control': 'no-cache' });

export const status =
  (code: number, headers: Record<string, string> = {}, body: unknown = { reason: 'as the test wants it' }): Mood =>
  (response) =>
    json(response, code, body, headers);

/** Never says a word; the connection stays open until the client gives up. */
export const silent: Mood = () => {};
export const text =
  (content: string, type = 'text/html'): Mood =>
  (response) =>
    void response.writeHead(200, { 'content-type': type }).end(content);
/** Promises all of the body and hangs up half way. */
export const cutBody: Mood = (response, body) => {
  const bytes = JSON.stringify(body);
  response.writeHead(200, { 'content-type': 'application/json', 'content-length': String(bytes.length) });
  response.write(bytes.slice(0, bytes.length / 2), () => response.destroy());
};
export const zipped: Mood = (response, body) =>
  void response.writeHead(200, { 'content-encoding': 'gzip' }).end(gzipSync(JSON.stringify(body)));
const MIB = 1024 * 1024;
/** A good answer, blown up: JSON may end in any number of blanks. */
const padded = (body: Body, mib: number): Buffer =>
  Buffer.concat([Buffer.from(JSON.stringify(body)), Buffer.alloc(mib * MIB, 32)]);
/** A small download that unpacks to 64 MiB: gzip in 65 parts, as zipping all of it would hold up the answer. */
export const zipBomb: Mood = (response, body) => {
  const blanks = gzipSync(Buffer.alloc(MIB, 32));
  const parts = [gzipSync(JSON.stringify(body)), ...Array<Buffer>(64).fill(blanks)];
  response.writeHead(200, { 'content-encoding': 'gzip' }).end(Buffer.concat(parts));
};
export const huge: Mood = (response, body) => void response.writeHead(200).end(padded(body, 6));

/** First one mood, then the next; the last one stays. */
export const inTurn = (...moods: Mood[]): Mood => {
  let i = 0;
  return (...call) => (moods[Math.min(i++, moods.length - 1)] as Mood)(...call);
};

const goodBody = (url: URL, nowMs: number): Body => {
  const ask = (name: string): string => url.searchParams.get(name) ?? '';
  const place = { latitude: Number(ask('latitude')), longitude: Number(ask('longitude')), timezone: ask('timezone') };
  const dashed = (date: string): string => `${date.slice(0, 4)}-${date.slice(4, 6)}-${date.slice(6)}`;
  if (url.pathname.startsWith('/points/')) return pointsBody();
  if (url.pathname.startsWith('/gridpoints/')) return gridBody(nowMs);
  if (url.pathname === '/v1/forecast') {
    const today = dayNumber(DateTime.fromMillis(nowMs, { zone: place.timezone }).toFormat('yyyy-MM-dd'));
    const last = today + Number(ask('forecast_days')) - 1;
    return openMeteoBody(datesBetween(isoDate(today - Number(ask('past_days'))), isoDate(last)), place);
  }
  if (url.pathname === '/v1/archive') return openMeteoBody(datesBetween(ask('start_date'), ask('end_date')), place);
  if (url.pathname === '/api/temporal/daily/point')
    return powerBody(datesBetween(dashed(ask('start')), dashed(ask('end'))), place);
  if (url.pathname === '/access/services/data/v1')
    return nceiBody(datesBetween(ask('startDate'), ask('endDate')), ask('stations'));
  return undefined;
};

export type WeatherStub = {
  readonly url: string;
  /** Every call that came, look-ups of cells apart. */
  readonly hits: { readonly path: string; readonly headers: IncomingMessage['headers']; readonly atMs: number }[];
  readonly lookUps: string[];
  /** How questions for weather are answered from now on. */
  mood: Mood;
  /** How look-ups of a cell are answered. */
  pointsMood: Mood;
  readonly close: () => Promise<void>;
};

/**
 * All five weather services in one local server, in the shapes they document. Like theirs, it says 403 to a client
 * without a User-Agent.
 * @param nowMs the clock of the world outside
 */
export const weatherStub = async (nowMs: () => number = Date.now): Promise<WeatherStub> => {
  const hits: WeatherStub['hits'] = [];
  const lookUps: string[] = [];
  const server = createServer((request, response) => {
    const url = new URL(request.url ?? '/', 'http://stub');
    const isLookUp = url.pathname.startsWith('/points/');
    if (isLookUp) lookUps.push(url.pathname);
    else hits.push({ path: `${url.pathname}${url.search}`, headers: request.headers, atMs: nowMs() });
    const body = goodBody(url, nowMs());
    if (request.headers['user-agent'] === undefined) json(response, 403, { detail: 'who are you?' });
    else if (body === undefined) json(response, 404, { detail: 'no such address' });
    else (isLookUp ? stub.pointsMood : stub.mood)(response, body, request);
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const stub: WeatherStub = {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    hits,
    lookUps,
    mood: well(),
    pointsMood: well({ 'cache-control': 'max-age=86400' }),
    close: async () => {
      server.closeAllConnections();
      await new Promise((resolve) => server.close(resolve));
    },
  };
  return stub;
};
