import type { Generated, Kysely } from 'kysely';
import type { Entry, Role } from './contract.ts';

/** The tables as the last migration leaves them. Instants are milliseconds since 1970 UTC. */
export type Tables = {
  records: {
    farm_id: string;
    kind: string;
    id: string;
    parent_id: string | null;
    version: number;
    created_at_ms: number;
    changed_at_ms: number;
    text: string;
  };
  history: {
    seq: Generated<number>;
    farm_id: string;
    kind: string;
    id: string;
    parent_id: string | null;
    version: number;
    action: Entry['action'];
    key_id: string;
    at_ms: number;
    text: string | null;
  };
  replays: { scope: string; key: string; hash: string; farm_id: string; kind: string; id: string; at_ms: number };
  source_answers: { source: string; place: string; fetched_at_ms: number; text: string };
  api_keys: {
    id: string;
    farm_id: string | null;
    role: Role;
    label: string;
    secret_hash: string;
    created_at_ms: number;
    expires_at_ms: number | null;
    revoked_at_ms: number | null;
  };
};

/** The database, or a transaction in it. */
export type Sql = Kysely<Tables>;

/** In what the two databases differ. */
export type Traits = {
  /** Type of a text that sorts by its bytes, so that both databases have one order of ids. */
  readonly text: 'text' | 'text collate "C"';
  /** Type of a number that counts up by itself. */
  readonly counter: 'integer' | 'bigint';
  /** A row is held against other writers by reading it `for update`; without it, a transaction holds the whole database. */
  readonly rowLocks: boolean;
};
