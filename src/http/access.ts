import type { FastifyReply, FastifyRequest } from 'fastify';
import { isWhitethreadError } from '../core/base/errors.ts';
import type { Deps, Who } from '../service/contract.ts';
import { keyParts } from '../service/keyForm.ts';
import { keySent, whoOf } from '../service/keys.ts';
import { type Key, type Role, roles } from '../store/contract.ts';
import type { App } from './contract.ts';
import { refusal } from './errors.ts';
import type { Limits } from './limits.ts';

const BEARER = /^Bearer ([\x21-\x7e]{1,200})$/i;

const unauthenticated = (given: string) =>
  refusal('unauthenticated', 'header Authorization', given, 'Bearer and an API key');

const keyOf = ({ headers }: FastifyRequest): string | undefined => BEARER.exec(headers.authorization ?? '')?.[1];

/** The id of the key that was sent, good or not; undefined where none was, or one of another form. */
export const givenKeyId = (request: FastifyRequest): string | undefined => keyParts(keyOf(request) ?? '')?.id;

/**
 * Who sent the request. Wrong keys count against the address, and too many of them end the talk before the next is tried.
 * One that was right once is no guess: it counts as a request without a key.
 */
const identified = async (request: FastifyRequest, reply: FastifyReply, deps: Deps, limits: Limits) => {
  const { authorization } = request.headers;
  const text = keyOf(request);
  limits.refuseGuesser(request, reply, text);
  if (text === undefined) {
    limits.countRequest(request, reply);
    throw unauthenticated(authorization === undefined ? 'nothing' : 'another form');
  }
  let key: Key | null = null;
  try {
    key = await keySent(deps, text);
    limits.trust(key);
    return whoOf(deps, key);
  } catch (error) {
    if (!isWhitethreadError(error) || error.code !== 'unauthenticated') throw error;
    if (key === null) limits.countFailure(request);
    else limits.countRequest(request, reply);
    throw error;
  }
};

/** Who asks, on a route that needs a key. */
export const asker = ({ who }: FastifyRequest): Who => {
  if (who === null) throw unauthenticated('nothing');
  return who;
};

/** Another farm is not there for a key, rather than forbidden: nobody learns which ids exist. */
const assertFarm = (who: Who, farmId: string | undefined): void => {
  if (farmId === undefined || who.farmId === null || who.farmId === farmId) return;
  throw refusal('not-found', 'farm', farmId, 'the farm of the key');
};

const assertRole = (who: Who, least: Role): void => {
  if (roles.indexOf(who.role) >= roles.indexOf(least)) return;
  throw refusal('forbidden', 'role', who.role, `${least} or more`);
};

/** Who may: the key, its farm and its role, before a byte of the body is read. A route without a role stops the start. */
export const access = (app: App, deps: Deps, limits: Limits): void => {
  app.decorateRequest('who', null);
  app.addHook('onRoute', ({ url, config }) => {
    if (config?.role === undefined && !url.startsWith('/docs')) throw new Error(`${url} declares no role`);
  });
  app.addHook('onRequest', async (request, reply) => {
    const least = request.routeOptions.config.role ?? null;
    if (least !== null) request.who = await identified(request, reply, deps, limits);
    if (request.routeOptions.config.unlimited !== true) limits.countRequest(request, reply);
    if (least === null || request.who === null) return;
    assertFarm(request.who, (request.params as { readonly farmId?: string }).farmId);
    assertRole(request.who, least);
  });
};
