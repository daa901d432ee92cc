import { createHash } from 'node:crypto';
import type { FastifyRequest } from 'fastify';
import { withoutSecret } from '../service/keyForm.ts';
import type { Once } from '../store/contract.ts';
import { refusal } from './errors.ts';

const KEY = /^[\x21-\x7e]{1,200}$/;

/** A repeated request is known for seven days. */
export const REPLAY_MS = 7 * 24 * 3_600_000;

/**
 * A key is shown once, so that no second answer can show it again: rather than made twice it is not made.
 * @throws WhitethreadError 'invalid-input' where the request has a name of its own
 */
export const assertNoOnce = ({ headers }: FastifyRequest): void => {
  if (headers['idempotency-key'] === undefined) return;
  const advice = 'Where an answer was lost, list the keys, revoke the one that was made, and make another';
  const given = String(headers['idempotency-key']).slice(0, 80);
  throw refusal('invalid-input', 'header Idempotency-Key', given, 'none: a key is shown once', advice);
};

/**
 * The caller's own name for a request, with what tells whether it is the same request.
 * @throws WhitethreadError 'invalid-input'
 */
export const onceOf = ({ headers, method, url, bodyText, who }: FastifyRequest): Once | undefined => {
  const key = headers['idempotency-key'];
  if (key === undefined || who === null) return undefined;
  // It is kept beside the answer, where no secret may be.
  if (typeof key !== 'string' || !KEY.test(key) || withoutSecret(key) !== key)
    throw refusal(
      'invalid-input',
      'header Idempotency-Key',
      String(key).slice(0, 80),
      '1 to 200 visible letters, and no API key',
    );
  const hash = createHash('sha256').update(`${method} ${url}\n${bodyText}`).digest('hex');
  return { scope: who.keyId, key, hash };
};
