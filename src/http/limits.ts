import type { FastifyReply, FastifyRequest } from 'fastify';
import { refusal } from './errors.ts';
import { type Count, minuteWindow } from './window.ts';

/** Wrong keys that one address may send in a minute. */
export const MOST_FAILURES = 10;

export type Limits = {
  /** Counts a request against its key, or against its address where no key is known. @throws 'too-many-requests' */
  readonly countRequest: (request: FastifyRequest, reply: FastifyReply) => void;
  /**
   * Counts a request of a key that is known to be good, and gives the field RateLimit; null, and nothing counted, where
   * the usual way may have to refuse it: the key is over its limit, or some address has sent too many wrong keys.
   */
  readonly countKnown: (keyId: string) => string | null;
  /** Counts a wrong key against its address. */
  readonly countFailure: (request: FastifyRequest) => void;
  /** @throws WhitethreadError 'too-many-requests' where the address has sent too many wrong keys */
  readonly refuseGuesser: (request: FastifyRequest, reply: FastifyReply) => void;
};

const tooMany = (reply: FastifyReply, { seconds }: Count, allowed: string) => {
  reply.header('retry-after', seconds);
  return refusal('too-many-requests', 'request', 'one more than allowed', allowed, `Wait ${seconds} s`);
};

/**
 * Limits by key and by address, counted in this process, told in the header fields of
 * draft-ietf-httpapi-ratelimit-headers-10: the policy, and what is left until when in seconds.
 */
export const limits = (perMinute: number, nowMs: () => number): Limits => {
  const requests = minuteWindow(perMinute, nowMs);
  const failures = minuteWindow(MOST_FAILURES, nowMs);
  const policy = `"minute";q=${perMinute};w=60`;
  const rest = ({ left, seconds }: Count): string => `"minute";r=${left};t=${seconds}`;
  return {
    countKnown: (keyId) => {
      const count = failures.isAnyFull() ? null : requests.take(keyId);
      return count === null ? null : rest(count);
    },
    countRequest: ({ who, ip }, reply) => {
      const count = requests.count(who === null ? ip : who.keyId);
      reply.header('ratelimit-policy', policy);
      reply.header('ratelimit', rest(count));
      if (count.isOver) throw tooMany(reply, count, `${perMinute} requests a minute`);
    },
    countFailure: ({ ip }) => {
      failures.count(ip);
    },
    refuseGuesser: ({ ip }, reply) => {
      const count = failures.peek(ip);
      if (count.left === 0) throw tooMany(reply, count, `${MOST_FAILURES} wrong keys a minute from one address`);
    },
  };
};
