import { randomUUID } from 'node:crypto';
import { type IncomingMessage, maxHeaderSize, type ServerResponse } from 'node:http';
import type { Socket } from 'node:net';
import type { Logger } from 'pino';
import { problemDocument, refusal, titles } from './errors.ts';
import { PROBLEM } from './faults.ts';
import { leftoverRead, restThrownAway } from './leftover.ts';

/** A request is here whole within this time, or it is refused; the server looks every half minute. */
export const MOST_ARRIVAL_MS = 30_000;
const ARRIVAL = `${MOST_ARRIVAL_MS / 1000} s`;

type Kind = { readonly status: number; readonly given: string; readonly allowed: string; readonly advice?: string };

/** By what the server calls it. */
const kinds: Readonly<Record<string, Kind>> = {
  ERR_HTTP_REQUEST_TIMEOUT: {
    status: 408,
    given: `one that was not here whole after ${ARRIVAL}`,
    allowed: `${ARRIVAL} from the first byte to the last`,
    advice: 'Nothing of it was done. Send it again over a better line, packed with gzip, or in smaller parts',
  },
  HPE_HEADER_OVERFLOW: {
    status: 431,
    given: `more than ${maxHeaderSize} bytes of header fields`,
    allowed: `at most ${maxHeaderSize} bytes of them`,
  },
};

const kindOf = (code = 'bytes'): Kind => kinds[code] ?? { status: 400, given: code, allowed: 'an HTTP/1.1 request' };

/** What cannot be read as HTTP gets a problem too, and the connection ends; what still comes of it is not done. */
export const clientFault =
  (log: Logger) =>
  (error: NodeJS.ErrnoException, socket: Socket): void => {
    if (error.code === 'ECONNRESET' || socket.destroyed) return;
    const { status, given, allowed, advice } = kindOf(error.code);
    const reqId = randomUUID();
    log.info({ reqId, status, code: error.code, ip: socket.remoteAddress }, 'refused');
    const body = JSON.stringify(
      problemDocument(refusal('invalid-input', 'request', given, allowed, advice), reqId, status),
    );
    const fields = [
      `HTTP/1.1 ${status} ${titles[status]}`,
      `Content-Type: ${PROBLEM}`,
      `Content-Length: ${Buffer.byteLength(body)}`,
      `X-Request-Id: ${reqId}`,
      'Cache-Control: no-store',
      'Connection: close',
    ];
    if (!socket.writable) {
      socket.destroy();
      return;
    }
    socket.end(`${fields.join('\r\n')}\r\n\r\n${body}`);
    restThrownAway(socket);
  };

type Unmet = { readonly status: number; readonly where: string; readonly given: string; readonly allowed: string };

/** What no request may be without in HTTP/1.1 (RFC 9112, 3.2). */
const noHost: Unmet = { status: 400, where: 'header Host', given: 'nothing', allowed: 'the name of this server' };
export const lacksHost = ({ headers, httpVersion }: IncomingMessage): boolean =>
  headers.host === undefined && httpVersion === '1.1';

/** A problem for what the server would refuse without a word: a request without a host, or one that expects what is not done here. */
export const unmet = (log: Logger) => {
  const refused = (request: IncomingMessage, reply: ServerResponse, { status, where, given, allowed }: Unmet): void => {
    const reqId = randomUUID();
    log.info({ reqId, status, ip: request.socket.remoteAddress }, 'refused');
    leftoverRead(request);
    const body = JSON.stringify(problemDocument(refusal('invalid-input', where, given, allowed), reqId, status));
    const fields = {
      'content-type': PROBLEM,
      'content-length': Buffer.byteLength(body),
      'x-request-id': reqId,
      'cache-control': 'no-store',
      connection: 'close',
    };
    reply.writeHead(status, fields).end(body);
  };
  return {
    host: (request: IncomingMessage, reply: ServerResponse) => refused(request, reply, noHost),
    expectation: (request: IncomingMessage, reply: ServerResponse) =>
      refused(request, reply, {
        status: 417,
        where: 'header Expect',
        given: String(request.headers.expect).slice(0, 80),
        allowed: '100-continue, or none',
      }),
  };
};
