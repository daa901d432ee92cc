import type { IncomingMessage, ServerResponse } from 'node:http';
import type { FastifyBaseLogger, FastifyInstance, RawServerDefault } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import type { Metric } from 'prom-client';
import type { Catalogue } from '../catalogue/load.ts';
import type { Deps, Who } from '../service/contract.ts';
import type { Role } from '../store/contract.ts';
import type { Deprecated } from './deprecation.ts';
import type { HeaderName } from './headers.ts';

/** The server as routes see it. */
export type App = FastifyInstance<
  RawServerDefault,
  IncomingMessage,
  ServerResponse<IncomingMessage>,
  FastifyBaseLogger,
  ZodTypeProvider
>;

/** What the server stands on. The catalogue here is whole, with the sources of its values. */
export type HttpDeps = Deps & {
  readonly catalogue: Catalogue;
  /**
   * The sources for fields that are sent: with connections, pauses and memory of their own, so that whoever sends many
   * takes nothing from stored farms. Without it those of the farms.
   */
  readonly sentSources?: Deps['sources'];
  /** Figures that others count, for /metrics. */
  readonly figures?: readonly Metric[];
};

/** What of the settings the routes and hooks need. */
export type HttpOptions = {
  readonly origins: readonly string[];
  readonly ratePerMinute: number;
  readonly trustProxy: readonly string[];
  readonly logLevel: string;
  /** How late the event loop may be on end before requests are refused, ms; a second without it, and 0 never refuses. */
  readonly mostLateMs?: number | undefined;
  /** Where log lines go; standard output without it. */
  readonly logTo?: { readonly write: (line: string) => void };
};

/** What the audit line tells of something new; of a key, what it opens and its maker's name for it. */
export type Made = { readonly id: string; readonly role?: Role; readonly label?: string };

declare module 'fastify' {
  interface FastifyRequest {
    /** Who asks; null on routes without a key. */
    who: Who | null;
    /** The store's generation before an answer that may be given again was worked out. */
    since: number;
    /** The body as it came, where it was JSON or text. */
    bodyText: string;
    /** What was made for it. */
    made: Made | null;
    /** Its outcome is known, and its answer on the way. */
    isAnswered: boolean;
    /** It was told in log and figures. */
    hasEnded: boolean;
  }
  interface FastifyContextConfig {
    /** The least role; null where no key is needed. Every route declares it, or the server does not start. */
    role?: Role | null;
    /** The answer follows from the request and what is stored, and from nothing else: it may be given again. */
    isTimeless?: boolean;
    /** Not counted against the limits: probes of a load balancer. */
    unlimited?: boolean;
    /** Types of body that it takes beside JSON. */
    takes?: readonly string[];
    /** Statuses of its own beside those that follow from its form. */
    refuses?: readonly number[];
    /** Header fields of its good answers beside those that follow from its form. */
    sends?: readonly HeaderName[];
    /** That it is to go. */
    deprecated?: Deprecated;
    /** Types that the route gives, the preferred one first; without it JSON. */
    gives?: readonly string[];
  }
  interface FastifySchema {
    operationId?: string;
  }
}
