import type { FastifyReply, FastifyRequest } from 'fastify';
import { markOf, sentMark } from '../service/keys.ts';
import type { Key } from '../store/contract.ts';
import { refusal } from './errors.ts';
import { type Count, minuteWindow } from './window.ts';

/** Wrong keys that one address may send in a minute. */
export const MOST_FAILURES = 10;
/** More are not remembered: a megabyte. */
const MOST_TRUSTED = 10_000;

export type Limits = {
  /** Counts a request against its key, or against its address where no key is known. @throws 'too-many-requests' */
  readonly countRequest: (request: FastifyRequest, reply: FastifyReply) => void;
  /**
   * Counts a request of a key that is known to be good, and gives the field RateLimit; null, and nothing counted, where
   * the usual way has to refuse it: the key is over its limit.
   */
  readonly countKnown: (keyId: string) => string | null;
  /** Counts a wrong key against its address. */
  readonly countFailure: (request: FastifyRequest) => void;
  /** Remembers a key whose secret was sent: to send it again is no guess. */
  readonly trust: (key: Key) => void;
  /**
   * Lets a key that is remembered pass, whatever others behind its address send.
   * @throws WhitethreadError 'too-many-requests' where the address has sent too many wrong keys
   */
  readonly refuseGuesser: (request: FastifyRequest, reply: FastifyReply, text: string | undefined) => void;
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
  /** Marks of keys. Nothing but the right key puts one in, so that a guesser finds none of them sooner. */
  const trusted = new Set<string>();
  const isTrusted = (text: string | undefined): boolean => trusted.has(sentMark(text ?? '') ?? '');
  const policy = `"minute";q=${perMinute};w=60`;
  const rest = ({ left, seconds }: Count): string => `"minute";r=${left};t=${seconds}`;
  return {
    countKnown: (keyId) => {
      const count = requests.take(keyId);
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
    trust: (key) => {
      if (trusted.size >= MOST_TRUSTED) trusted.clear();
      trusted.add(markOf(key));
    },
    refuseGuesser: ({ ip }, reply, text) => {
      const count = failures.peek(ip);
      if (count.left > 0 || isTrusted(text)) return;
      throw tooMany(reply, count, `${MOST_FAILURES} wrong keys a minute from one address`);
    },
  };
};
