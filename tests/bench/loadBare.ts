import { createServer } from 'node:http';
import fastify from 'fastify';

/** What the service is compared with, in a process of its own: argv is the bytes of the small reply. */
const [bytes = ''] = process.argv.slice(2);

/** A bare fastify that sends the same bytes. */
const small = fastify();
small.get('/small', (_, reply) => {
  reply.header('content-type', 'application/json; charset=utf-8').send(bytes);
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
  process.send?.({ small: `${smallAddress}/small`, parses: `http://127.0.0.1:${port}/` });
});
process.on('disconnect', () => process.exit(0));
