import rateLimit from '@fastify/rate-limit';
import type { FastifyReply, FastifyRequest } from 'fastify';
import type { App } from './contract.ts';
import { refusal } from './errors.ts';

const MINUTE_MS = 60_000;
/** Wrong keys that one address may send in a minute. */
export const MOST_FAILURES = 10;

type Count = Awaited<ReturnType<ReturnType<App['createRateLimit']>>>;

export type Limits = {
  /** Counts a request against its key, or against its address where the route needs no key. @throws 'too-many-requests' */
  readonly countRequest: (request: FastifyRequest, reply: FastifyReply) => Promise<void>;
  /** Counts a wrong key against its address. */
  readonly countFailure: (request: FastifyRequest) => Promise<void>;
  /** @throws WhitethreadError 'too-many-requests' where the address has sent too many wrong keys */
  readonly refuseGuesser: (request: FastifyRequest, reply: FastifyReply) => Promise<void>;
};

const tooMany = (reply: FastifyReply, seconds: number, allowed: string) => {
  reply.header('retry-after', seconds);
  return refusal('too-many-requests', 'request', 'one more than allowed', allowed, `Wait ${seconds} s`);
};

/** Header fields of draft-ietf-httpapi-ratelimit-headers-10: what is left, and until when in seconds. */
const told = (reply: FastifyReply, policy: string, count: Extract<Count, { isAllowed: false }>): void => {
  reply.header('ratelimit-policy', policy);
  reply.header('ratelimit', `"minute";r=${count.remaining};t=${count.ttlInSeconds}`);
};

/** Limits by key and by address, counted in this process. */
export const limits = async (app: App, perMinute: number): Promise<Limits> => {
  await app.register(rateLimit, { global: false });
  const options = { timeWindow: MINUTE_MS };
  const byKey = app.createRateLimit({
    ...options,
    max: perMinute,
    keyGenerator: ({ who, ip }) => (who === null ? `address ${ip}` : who.keyId),
  });
  const failures = app.createRateLimit({ ...options, max: MOST_FAILURES });
  const policy = `"minute";q=${perMinute};w=60`;
  return {
    countRequest: async (request, reply) => {
      const count = await byKey(request);
      if (count.isAllowed) return;
      told(reply, policy, count);
      if (count.isExceeded) throw tooMany(reply, count.ttlInSeconds, `${perMinute} requests a minute`);
    },
    countFailure: async (request) => {
      await failures(request);
    },
    refuseGuesser: async (request, reply) => {
      const count = await failures(request, { increment: false });
      if (count.isAllowed || count.remaining > 0) return;
      throw tooMany(reply, count.ttlInSeconds, `${MOST_FAILURES} wrong keys a minute from one address`);
    },
  };
};
