import type { Socket } from 'node:net';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { App } from './contract.ts';

type Ended = (request: FastifyRequest, reply: FastifyReply, hungUp: boolean) => void;

/**
 * Says of every request once that it has ended: when its answer is out, or where the caller hung up, as soon as what was
 * asked for is done and its outcome known. The framework tells of answers alone that could be sent.
 */
export const ends = (app: App, ended: Ended): void => {
  /** Requests under way by connection. An answer that waits for the one before it does not hear of the connection's end. */
  const underWay = new WeakMap<Socket, Map<FastifyRequest, FastifyReply>>();
  app.decorateRequest('isAnswered', false);
  app.decorateRequest('hasEnded', false);

  const end: Ended = (request, reply, hungUp) => {
    underWay.get(request.socket)?.delete(request);
    if (request.hasEnded) return;
    request.hasEnded = true;
    ended(request, reply, hungUp);
  };
  const requestsOn = (socket: Socket): Map<FastifyRequest, FastifyReply> => {
    const known = underWay.get(socket);
    if (known !== undefined) return known;
    const requests = new Map<FastifyRequest, FastifyReply>();
    underWay.set(socket, requests);
    socket.once('close', () => {
      // What has no answer yet may still be done: its outcome is told with its answer.
      for (const [request, reply] of requests) if (request.isAnswered) end(request, reply, true);
    });
    return requests;
  };

  app.addHook('onRequest', (request, reply, done) => {
    requestsOn(request.socket).set(request, reply);
    done();
  });
  app.addHook('onSend', (request, reply, payload, done) => {
    request.isAnswered = true;
    if (request.socket.destroyed) end(request, reply, true);
    done(null, payload);
  });
  app.addHook('onResponse', (request, reply, done) => {
    end(request, reply, false);
    done();
  });
};
