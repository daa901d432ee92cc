import { once } from 'node:events';
import { createServer, type IncomingMessage, request, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';

export type RoundRobin = {
  readonly address: string;
  readonly close: () => Promise<void>;
  readonly served: () => number[];
};

/** A proxy of the tests' own: each request to the next replica in turn, its bytes unchanged in both directions. */
export const roundRobin = async (replicas: readonly string[]): Promise<RoundRobin> => {
  const served = replicas.map(() => 0);
  let turn = 0;
  const pass = (from: IncomingMessage, to: ServerResponse): void => {
    const chosen = turn++ % replicas.length;
    served[chosen] = (served[chosen] ?? 0) + 1;
    const { method = 'GET', headers, url = '/' } = from;
    const onward = request(new URL(url, replicas[chosen]), { method, headers }, (reply) => {
      to.writeHead(reply.statusCode ?? 502, reply.headers);
      reply.pipe(to);
    });
    onward.on('error', () => {
      if (!to.headersSent) to.writeHead(502);
      to.end();
    });
    from.pipe(onward);
  };
  const server = createServer(pass).listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  return {
    address: `http://127.0.0.1:${port}`,
    served: () => [...served],
    close: async () => {
      server.closeAllConnections();
      server.close();
      await once(server, 'close');
    },
  };
};
