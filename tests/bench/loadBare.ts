import { createServer, type IncomingMessage } from 'node:http';
import { isMainThread, parentPort, Worker } from 'node:worker_threads';
import Sqlite from 'better-sqlite3';
import fastify from 'fastify';
import type { FieldInput } from '../../src/core/outlook/schema.ts';
import { library } from './built.ts';

/**
 * What the service is compared with, in a process of its own: argv is the small reply, as JSON its header fields, and a
 * file for a database. None of it asks who is there, checks what comes or tells what was done: nothing can be quicker
 * and still do the work.
 */
const [bytes = '', fields = '{}', file = ''] = process.argv.slice(2);

/** A bare fastify that sends the same body, or the same answer whole. */
const small = () => {
  const sameFields = JSON.parse(fields) as Record<string, string>;
  const app = fastify();
  app.get('/body', (_, reply) => {
    reply.header('content-type', 'application/json; charset=utf-8').send(bytes);
  });
  app.get('/whole', (_, reply) => {
    reply.headers(sameFields).send(bytes);
  });
  return app;
};

const bodyOf = async (request: IncomingMessage): Promise<string> => {
  const parts: Buffer[] = [];
  for await (const part of request) parts.push(part as Buffer);
  return Buffer.concat(parts).toString();
};

/** Keeps texts on disk as durably as the service does: those that come in one turn of the event loop share a commit. */
const keeping = () => {
  const db = new Sqlite(file);
  db.pragma('journal_mode = wal');
  db.pragma('synchronous = full');
  db.exec(
    'create table kept (id text primary key, text text); create table history (seq integer primary key, text text)',
  );
  const put = db.prepare('insert into kept values (?, ?) on conflict (id) do update set text = excluded.text');
  const told = db.prepare('insert into history (text) values (?)');
  const waiting: { readonly id: string; readonly text: string; readonly done: () => void }[] = [];
  const commit = (): void => {
    const writes = waiting.splice(0);
    db.transaction(() => {
      for (const { id, text } of writes) {
        put.run(id, text);
        told.run(text);
      }
    })();
    for (const { done } of writes) done();
  };
  return (id: string, text: string): Promise<void> =>
    new Promise((done) => {
      if (waiting.push({ id, text, done }) === 1) setImmediate(commit);
    });
};

/** The library call on a thread of its own. */
const computing = () => {
  const thread = new Worker(new URL(import.meta.url), {
    execArgv: [
      '--import',
      `data:text/javascript,import{register}from"${import.meta.resolve('tsx/esm/api')}";register()`,
    ],
  });
  const waiting: ((bytes: Uint8Array) => void)[] = [];
  thread.on('message', (bytes: Uint8Array) => waiting.shift()?.(bytes));
  return (text: string): Promise<Uint8Array> =>
    new Promise((done) => {
      waiting.push(done);
      thread.postMessage(text);
    });
};

const serve = async (): Promise<void> => {
  const keep = keeping();
  const compute = computing();
  let turn = 0;
  const server = createServer(async (request, reply) => {
    const text = await bodyOf(request);
    if (request.url === '/outlook') {
      const answer = await compute(text);
      reply.writeHead(200, { 'content-length': answer.byteLength }).end(answer);
      return;
    }
    JSON.parse(text);
    if (request.url === '/keep') await keep(String(turn++ % 16), text);
    reply.writeHead(204).end();
  });
  const smallAddress = await small().listen({ host: '127.0.0.1', port: 0 });
  server.listen(0, '127.0.0.1', () => {
    const { port } = server.address() as { port: number };
    process.send?.({ small: smallAddress, bare: `http://127.0.0.1:${port}` });
  });
  process.on('disconnect', () => process.exit(0));
};

const work = (): void => {
  const catalogue = library.loadCatalogue();
  parentPort?.on('message', (text: string) => {
    const told = Buffer.from(JSON.stringify(library.outlook(JSON.parse(text) as FieldInput, catalogue)));
    parentPort?.postMessage(told);
  });
};

if (isMainThread) await serve();
else work();
