/**
 * An address as messages may show it: without who asks, the password, and what stands after a question mark. What begins or
 * holds an address is one too, and a password may hold any sign, so that all up to the last `@` goes.
 * @example nameless('postgres://me:a/secret@host/db') // 'postgres://...@host/db'
 */
export const nameless = (address: string): string =>
  address.replace(/^((?:[\w-]+=)?(?:\w+:\/*)?).*@/s, '$1...@').replace(/\?.*/s, '?...');
