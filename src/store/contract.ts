import type { Meant } from './meant.ts';

/**
 * What the service asks of a database. Everything a farm keeps is a row: a kind, an id, a version and a text that the
 * store never reads. Every question carries the farm, so that one farm cannot see another's rows by asking wrongly.
 * An adapter throws WhitethreadErrors only: 'not-found', 'version-conflict', 'replay-mismatch', 'store-unavailable',
 * 'store-full', 'store-read-only', 'store-version'.
 */
export type Store = {
  /** The row, or null where the farm has none of this kind and id. */
  readonly read: (farmId: string, kind: string, id: string) => Promise<Row | null>;
  /**
   * Rows after a place in the order of their ids, at most `page.limit`, and none after the one with which their texts are
   * 4 MiB together: `mayGoOn` says whether there may be more. Ids made later come later.
   */
  readonly list: (farmId: string, kind: string, page: Page, parentId?: string) => Promise<readonly Row[]>;
  /**
   * Adds a row at version 1 and its entry in the history, both or neither. With `once`, a second call with the same
   * scope, key and hash gives the row of the first as it was made; with another hash it is a 'replay-mismatch'.
   * @throws 'not-found' where there is no such farm, 'version-conflict' where the id is taken, and what the check throws
   */
  readonly create: (row: NewRow, stamp: Stamp, once?: Once, check?: Check) => Promise<Created>;
  /** The row that a request with this scope and key made, as it was made; null where none did. @throws 'replay-mismatch' */
  readonly replay: (once: Once) => Promise<Row | null>;
  /** Puts a new text in the place of the version that is meant. @throws 'not-found', 'version-conflict', and what the check throws */
  readonly change: (row: NewRow, meant: Meant, stamp: Stamp, check?: Check) => Promise<Row>;
  /**
   * Takes a row away; its history stays. With the farm's own row go all of its rows, its history and its replays; one entry
   * stays, who took it away and when. Its keys end.
   * @throws as `change`
   */
  readonly remove: (
    farmId: string,
    kind: string,
    id: string,
    meant: Meant,
    stamp: Stamp,
    check?: Check,
  ) => Promise<void>;
  /** Who did what when, oldest first, after an entry's number; a page ends as that of a list does. */
  readonly history: (farmId: string, page: HistoryPage) => Promise<readonly Entry[]>;
  /** The key with this id, revoked and expired ones too; null when there is none. */
  readonly key: (id: string) => Promise<Key | null>;
  readonly keys: (farmId: string | null) => Promise<readonly Key[]>;
  /** @throws 'not-found' where there is no such farm */
  readonly addKey: (key: Key) => Promise<void>;
  /** False where the farm has no such key. */
  readonly revokeKey: (farmId: string | null, id: string, at: number) => Promise<boolean>;
  /** Forgets replays that were made before an instant. */
  readonly forgetReplays: (before: number) => Promise<void>;
  /** The last that a weather source said of a place of its own, or null. It is the source's, and no farm's. */
  readonly sourceAnswer: (source: string, place: string) => Promise<SourceAnswer | null>;
  /** Keeps an answer unless a later one is kept, and takes away those of its source that are beyond the bounds. */
  readonly keepSourceAnswer: (answer: SourceAnswer, bounds: AnswerBounds) => Promise<void>;
  /**
   * A number that is another after anyone has written a row or a key, in any process; null where the database does not
   * tell.
   * @throws 'store-unavailable'
   */
  readonly generation: (() => number) | null;
  /** Resolves when the database answers. @throws 'store-unavailable' */
  readonly ready: () => Promise<void>;
  readonly close: () => Promise<void>;
};

/** What can be asked within a write: the farm is held by then, and nobody else writes into it before the write ends. */
export type Inside = Pick<Store, 'read' | 'list' | 'history'>;
/**
 * Looks at other rows that a write rests on, within it: outside they may be gone before it begins. It asks nothing but
 * `inside`, as another question might wait for the write. Where it throws, nothing of the write is done.
 */
export type Check = (inside: Inside) => Promise<void>;

/** The farm's own row has this kind and the farm's id as its id. Farms are listed with `list(ALL_FARMS, FARM, page)`. */
export const FARM = 'farm';
export const ALL_FARMS = '*';

export type NewRow = {
  readonly farmId: string;
  readonly kind: string;
  readonly id: string;
  /** What it belongs to within the farm, such as a pass to its field. */
  readonly parentId: string | null;
  /** JSON as it will be served; the store does not look into it. */
  readonly text: string;
};
/** Instants in milliseconds since 1970 UTC. */
export type Row = NewRow & { readonly version: number; readonly createdAtMs: number; readonly changedAtMs: number };
export type Created = { readonly row: Row; readonly replayed: boolean };
/** Who does it and when. */
export type Stamp = { readonly keyId: string; readonly atMs: number };
/** A caller's own name for a request, within the scope of one key; the hash tells whether the request is the same. */
export type Once = { readonly scope: string; readonly key: string; readonly hash: string };
/** `after` is the id of the last row that was seen. */
export type Page = { readonly after: string | null; readonly limit: number };
export type HistoryPage = {
  readonly after: number | null;
  readonly limit: number;
  readonly kind?: string;
  readonly id?: string;
};
export type Entry = {
  readonly seq: number;
  readonly kind: string;
  readonly id: string;
  readonly version: number;
  readonly action: 'create' | 'change' | 'remove';
  readonly keyId: string;
  readonly atMs: number;
  /** The text from then on; null after a removal. */
  readonly text: string | null;
};

/** What a weather source said of a cell or a station: its public answer, whoever asked. */
export type SourceAnswer = {
  readonly source: string;
  readonly place: string;
  readonly fetchedAtMs: number;
  /** The store does not look into it. */
  readonly text: string;
};
/** Of one source: the last `most` places, none that was fetched before `oldestMs`. */
export type AnswerBounds = { readonly most: number; readonly oldestMs: number };

export const roles = ['reader', 'planner', 'keeper', 'operator'] as const;
/** In rising order: each may do what those before it may. An operator belongs to no farm. */
export type Role = (typeof roles)[number];
export type Key = {
  readonly id: string;
  /** null for an operator key. */
  readonly farmId: string | null;
  readonly role: Role;
  readonly label: string;
  /** SHA-256 of the secret part, hex. The secret itself is nowhere. */
  readonly secretHash: string;
  readonly createdAtMs: number;
  readonly expiresAtMs: number | null;
  readonly revokedAtMs: number | null;
};
