import { hash, randomBytes, timingSafeEqual } from 'node:crypto';
import { type Problem, whitethreadError } from '../core/base/errors.ts';
import { FARM, type Key, type Role, roles } from '../store/contract.ts';
import type { Deps, Who } from './contract.ts';
import { newId } from './id.ts';
import { KEY_ID, keyParts, withoutSecret } from './keyForm.ts';

/** 256 bits: nothing is won by trying, so one round of hashing is enough. */
const SECRET_BYTES = 32;

const hashOf = (secret: string): string => hash('sha256', secret);
/** Compared with where a key is unknown, so that the answer takes as long. */
const NOBODY = hashOf('nobody');

const refused = (given: string) =>
  whitethreadError([
    {
      code: 'unauthenticated',
      where: 'header Authorization',
      given,
      allowed: 'Bearer and a key that is neither revoked nor past its day',
    },
  ]);

const forbidden = (where: string, given: string, allowed: string) =>
  whitethreadError([{ code: 'forbidden', where, given, allowed }]);

/**
 * Whether a key may do something on a farm. A farm that is not the key's is not there for it.
 * @throws WhitethreadError 'not-found', 'forbidden'
 */
export const mayI = (who: Who, least: Role, farmId: string | null): void => {
  if (who.role !== 'operator' && who.farmId !== farmId)
    throw whitethreadError([
      { code: 'not-found', where: 'farm', given: farmId ?? 'the server', allowed: 'the farm of the key' },
    ]);
  if (roles.indexOf(who.role) < roles.indexOf(least)) throw forbidden('role', who.role, `${least} or more`);
};

/** What a new key is to be. `farmId` is null for an operator's. */
export type KeyWish = {
  readonly farmId: string | null;
  readonly role: Role;
  readonly label: string;
  readonly expiresAtMs: number | null;
};

/** The last instant that answers can write: RFC 3339 has no fifth digit of a year. */
const LAST_MS = Date.parse('9999-12-31T23:59:59.999Z');

/** How the maker of a key calls what is said of it. */
export type KeyNames = { readonly label: string; readonly expiresAt: string };

/** What is wrong with a wish. A key as a label would stand in the log and the database, which are to hold no secret. */
const faultsOf = ({ label, expiresAtMs }: KeyWish, now: number, names: KeyNames): Problem[] => {
  const faults: Problem[] = [];
  const masked = withoutSecret(label);
  if (masked !== label)
    faults.push({
      code: 'invalid-input',
      where: names.label,
      given: masked,
      allowed: 'text without an API key',
      advice: 'Name whose key it is, such as Tablet in the barn',
    });
  if (expiresAtMs !== null && (expiresAtMs <= now || expiresAtMs > LAST_MS))
    faults.push({
      code: 'invalid-input',
      where: names.expiresAt,
      given: new Date(expiresAtMs).toISOString(),
      allowed: `an instant after now, ${new Date(now).toISOString()}, and before the year 10000 in UTC`,
      advice: 'Name one between them, or none for a key without an end',
    });
  return faults;
};

/** A key without its hash: what may be shown. */
export type ShownKey = Omit<Key, 'secretHash'>;

const shown = ({ secretHash: _, ...key }: Key): ShownKey => key;

/**
 * Makes a key; nobody is asked. For the command line of the operator; `makeKey` is for callers with a key.
 * @throws WhitethreadError 'invalid-input' for a key that would be over already, or in a year that cannot be written, and
 * for a label that holds a key
 */
export const freshKey = async (
  { store, nowMs }: Pick<Deps, 'store' | 'nowMs'>,
  wish: KeyWish,
  names: KeyNames = { label: 'label', expiresAt: 'expiresAt' },
): Promise<{ readonly key: ShownKey; readonly text: string }> => {
  const secret = randomBytes(SECRET_BYTES).toString('base64url');
  const now = nowMs();
  const faults = faultsOf(wish, now, names);
  if (faults.length > 0) throw whitethreadError(faults);
  const key: Key = {
    ...wish,
    id: newId(now),
    secretHash: hashOf(secret),
    createdAtMs: now,
    revokedAtMs: null,
  };
  await store.addKey(key);
  return { key: shown(key), text: `wt_${key.id}_${secret}` };
};

/**
 * Makes a key and gives its text, which is nowhere afterwards. A keeper makes keys of its own farm, an operator any.
 * @throws WhitethreadError 'forbidden', 'not-found', 'invalid-input'
 */
export const makeKey = async (deps: Pick<Deps, 'store' | 'nowMs'>, who: Who, wish: KeyWish) => {
  mayI(who, wish.farmId === null ? 'operator' : 'keeper', wish.farmId);
  if ((wish.role === 'operator') !== (wish.farmId === null))
    throw forbidden('role', wish.role, 'operator for keys of the server, any other for keys of a farm');
  return freshKey(deps, wish);
};

/** What of a key may be remembered. The id belongs to it: another id with the same secret is another key. */
export const markOf = ({ id, secretHash }: Pick<Key, 'id' | 'secretHash'>): string => `${id}.${secretHash}`;

/** The mark of a key that was sent, good or not; null for a text of another form. */
export const sentMark = (text: string): string | null => {
  const parts = keyParts(text);
  return parts === null ? null : markOf({ id: parts.id, secretHash: hashOf(parts.secret) });
};

/**
 * The key that was sent, also one that opens nothing any more: whoever has its secret does not guess.
 * @param text as `makeKey` gave it
 * @throws WhitethreadError 'unauthenticated' for a text that is no key's
 */
export const keySent = async ({ store }: Pick<Deps, 'store'>, text: string): Promise<Key> => {
  const parts = keyParts(text);
  if (parts === null) throw refused('a key of another form');
  const { id, secret } = parts;
  const key = await store.key(id);
  const expected = key === null ? NOBODY : key.secretHash;
  if (!timingSafeEqual(Buffer.from(hashOf(secret)), Buffer.from(expected)) || key === null)
    throw refused('a key that is not known');
  return key;
};

/** Whom a key stands for. @throws WhitethreadError 'unauthenticated' where it was revoked or its time is over */
export const whoOf = ({ nowMs }: Pick<Deps, 'nowMs'>, { id, farmId, role, expiresAtMs, revokedAtMs }: Key): Who => {
  if (revokedAtMs !== null) throw refused('a key that was revoked');
  if (expiresAtMs !== null && expiresAtMs <= nowMs()) throw refused('a key whose time is over');
  return { keyId: id, farmId, role, expiresAtMs };
};

/** The keys of a farm, or of the server; none shows its secret. @throws WhitethreadError 'forbidden', 'not-found' */
export const listKeys = async ({ store }: Pick<Deps, 'store'>, who: Who, farmId: string | null) => {
  mayI(who, farmId === null ? 'operator' : 'keeper', farmId);
  const isThere = farmId === null || (await store.read(farmId, FARM, farmId)) !== null;
  if (!isThere)
    throw whitethreadError([{ code: 'not-found', where: 'farm', given: farmId, allowed: 'a farm of this server' }]);
  return (await store.keys(farmId)).map(shown);
};

/** From now on the key opens nothing. @throws WhitethreadError 'forbidden', 'not-found' */
export const revokeKey = async (
  { store, nowMs }: Pick<Deps, 'store' | 'nowMs'>,
  who: Who,
  farmId: string | null,
  id: string,
): Promise<void> => {
  mayI(who, farmId === null ? 'operator' : 'keeper', farmId);
  if (await store.revokeKey(farmId, id, nowMs())) return;
  throw whitethreadError([
    { code: 'not-found', where: 'key', given: id, allowed: 'a key of this farm', advice: KEY_ID },
  ]);
};
