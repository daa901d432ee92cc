/** Letters of the id, which is no secret, then those of the secret. */
const KEY = /^wt_([0-9a-z]{26})_([A-Za-z0-9_-]{43})$/;
/** Also one that was cut off, or whose letters were made large. */
const WITHIN = /(wt_[0-9a-z]{26}_)[\w-]+/gi;
/** Who encodes twice is understood too, and nobody keeps us busy. */
const MOST_ROUNDS = 3;

/** How a key's id is found by who has the key. */
export const KEY_ID = 'The id of a key is the 26 characters between wt_ and the next _';

/** Id and secret of a key; null for a text of another form. */
export const keyParts = (text: string): { readonly id: string; readonly secret: string } | null => {
  const [, id, secret] = KEY.exec(text) ?? [];
  return id === undefined || secret === undefined ? null : { id, secret };
};

/** Letters for their codes, as far as they are of ASCII: a key has no others, and an address may be broken elsewhere. */
const plain = (text: string): string =>
  text.replace(/%([0-7][0-9a-f])/gi, (_, code: string) => String.fromCharCode(Number.parseInt(code, 16)));

/**
 * A text that somebody gave, with dots in the place of the secrets of keys, also of percent-encoded ones.
 * @example withoutSecret('/v1/keys/wt_01k8a7b3c4d5e6f7g8h9j0k1m2%5Fsecret') // '/v1/keys/wt_01k8a7b3c4d5e6f7g8h9j0k1m2_...'
 */
export const withoutSecret = (text: string): string => {
  let read = text;
  for (let round = 0; round < MOST_ROUNDS && read.includes('%'); round++) read = plain(read);
  const masked = read.replace(WITHIN, '$1...');
  return masked === read ? text : masked;
};
