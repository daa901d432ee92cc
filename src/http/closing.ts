import type { Socket } from 'node:net';
import type { App } from './contract.ts';
import { refusal } from './errors.ts';

/** Requests under way may take so long after the word to stop. */
const GRACE_MS = 10_000;
/** How often connections whose request has ended are looked for, so that none is waited for in vain. */
const SWEEP_MS = 50;
/** A connection that was opened ahead and has asked nothing by then will not. */
const SILENT_MS = 1000;
/** Where a load balancer asks whether requests may be sent. */
const READINESS = '/ready';

/** Connections that have asked nothing yet; Node does not count them as idle. */
const silentSockets = (app: App): ReadonlySet<Socket> => {
  const silent = new Set<Socket>();
  app.server.on('connection', (socket: Socket) => {
    silent.add(socket);
    socket.once('close', () => silent.delete(socket));
  });
  app.server.on('request', ({ socket }) => silent.delete(socket));
  return silent;
};

/**
 * An orderly end. What is under way finishes, at most ten seconds; what still comes in on an open connection (it was
 * sent before the sender could know) is answered too, and the framework closes its connection. Only the question
 * whether more may be sent here is answered with no.
 */
export const closing = (app: App): void => {
  const silent = silentSockets(app);
  let isClosing = false;
  app.addHook('preClose', (done) => {
    isClosing = true;
    const sweep = setInterval(() => app.server.closeIdleConnections(), SWEEP_MS);
    const hush = setTimeout(() => {
      for (const socket of silent) socket.destroy();
    }, SILENT_MS);
    const end = setTimeout(() => app.server.closeAllConnections(), GRACE_MS);
    for (const timer of [sweep, hush, end]) timer.unref();
    app.server.once('close', () => clearInterval(sweep));
    done();
  });
  app.addHook('onRequest', (request, _, done) => {
    if (isClosing && request.routeOptions.url === READINESS)
      done(refusal('overloaded', 'server', 'more requests while it stops', 'requests to another server, or later'));
    else done();
  });
};
