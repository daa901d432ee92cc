import type { IncomingMessage } from 'node:http';
import type { Socket } from 'node:net';

/** So much of what still comes is thrown away, and so long. */
const MOST_BYTES = 32 * 1024 * 1024;
const MOST_MS = 5000;

/** Reads what still comes on a connection whose side of ours is closed, within limits, until the sender ends too. */
export const restThrownAway = (socket: Socket): void => {
  let left = MOST_BYTES;
  const end = setTimeout(() => socket.destroy(), MOST_MS);
  socket.once('close', () => clearTimeout(end));
  socket.once('end', () => socket.destroy());
  socket.resume();
  // The parser may have stopped the connection: only once it runs again can another take the parser's place.
  setImmediate(() => {
    socket.removeAllListeners('data');
    socket.on('data', ({ length }: Buffer) => {
      left -= length;
      if (left < 0) socket.destroy();
    });
  });
};

/**
 * A refusal that ends the connection while its body still comes: to close then would reset it, and most senders would see
 * a broken connection in the place of the answer. So our side is closed once the answer is out, and the rest is read and
 * thrown away, within limits, until the sender ends too. Nothing of it is read as another request.
 */
export const leftoverRead = (request: IncomingMessage): void => {
  if (request.complete) return;
  const { socket } = request;
  // What the server calls once the answer of a connection that ends is out.
  socket.destroySoon = () => {
    socket.end();
    // Whoever unpacks it takes no more, and would hold up what comes.
    request.unpipe();
    request.resume();
    restThrownAway(socket);
  };
};
