import { createServer } from 'node:http';
import fastify from 'fastify';

/** What the service is compared with, in a process of its own: argv is the small reply and, as JSON, its header fields. */
const [bytes = '', fields = '{}'] = process.argv.slice(2);
const sameFields = JSON.parse(fields) as Record<string, string>;

/** A bare fastify that sends the same body, or the same answer whole. */
const small = fastify();
small.get('/body', (_, reply) => {
  reply.header('content-type', 'application/json; charset=utf-8').send(bytes);
});
small.get('/whole', (_, reply) => {
  reply.headers(sameFields).send(bytes);
});

/** A bare node:http that does nothing but JSON.parse what is posted. */
const parses = createServer((request, reply) => {
  const parts: Buffer[] = [];
  request.on('data', (part: Buffer) => parts.push(part));
  request.on('end', () => {
    JSON.parse(Buffer.concat(parts).toString());
    reply.writeHead(204).end();
  });
});

const smallAddress = await small.listen({ host: '127.0.0.1', port: 0 });
parses.listen(0, '127.0.0.1', () => {
  const port = (parses.address() as { port: number }).port;
  process.send?.({ small: smallAddress, parses: `http://127.0.0.1:${port}/` });
});
process.on('disconnect', () => process.exit(0));
