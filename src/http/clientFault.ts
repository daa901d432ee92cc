import { randomUUID } from 'node:crypto';
import { maxHeaderSize } from 'node:http';
import type { Socket } from 'node:net';
import type { Logger } from 'pino';
import { problemDocument, refusal, titles } from './errors.ts';
import { PROBLEM } from './faults.ts';
import { restThrownAway } from './leftover.ts';

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
