import type { App } from './contract.ts';
import { refusal } from './errors.ts';

/** Requests under way may take so long after the word to stop. */
const GRACE_MS = 10_000;

/**
 * An orderly end: requests under way finish, at most ten seconds; new ones on open connections get a 503 and the
 * connection closes.
 */
export const closing = (app: App): void => {
  let isClosing = false;
  app.addHook('preClose', (done) => {
    isClosing = true;
    setTimeout(() => app.server.closeAllConnections(), GRACE_MS).unref();
    done();
  });
  app.addHook('onRequest', (_, reply, done) => {
    if (!isClosing) {
      done();
      return;
    }
    reply.header('connection', 'close');
    done(refusal('overloaded', 'server', 'a request while it stops', 'requests to another server, or later'));
  });
};
