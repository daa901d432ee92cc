import { type ErrorCode, isWhitethreadError, type WhitethreadError, whitethreadError } from '../../core/base/errors.ts';

/** How a source failed: the error for the caller, and what the client has to know of it. */
export type Failure = WhitethreadError & {
  /** Asking again soon may help. */
  readonly retryable: boolean;
  /** It is the source's fault and counts against it; a question that it cannot answer does not. */
  readonly blamed: boolean;
  /** How long the source asked to be left alone; null where it did not say. */
  readonly retryAfterMs: number | null;
};

const MOST_SHOWN = 160;
/** Words of another server in our own error: one printable line, not long. */
export const shown = (text: string): string => {
  const line = text.replace(/[^\x20-\x7e]+/g, ' ').trim();
  return line.length > MOST_SHOWN ? `${line.slice(0, MOST_SHOWN - 3)}...` : line;
};

type Parts = { readonly code: ErrorCode; readonly where: string; readonly given: string; readonly allowed: string };

type About = { readonly retryable?: boolean; readonly blamed: boolean; readonly retryAfterMs?: number | null };

const marked = (error: WhitethreadError, { retryable = false, blamed, retryAfterMs = null }: About): Failure =>
  Object.assign(error, { retryable, blamed, retryAfterMs });

const failure = ({ code, where, given, allowed }: Parts, about: About): Failure =>
  marked(whitethreadError([{ code, where, given: shown(given), allowed }]), about);

/** 'source-unavailable': no answer, or an answer that is an error. */
export const unavailable = (id: string, given: string, about: Partial<About> = {}): Failure =>
  failure(
    { code: 'source-unavailable', where: `weather source ${id}`, given, allowed: 'an answer' },
    { blamed: true, ...about },
  );

/** 'source-malformed': an answer that cannot be weather. */
export const malformed = (id: string, where: string, given: string, allowed: string): Failure =>
  failure(
    { code: 'source-malformed', where: [`weather source ${id}`, where].filter(Boolean).join(', '), given, allowed },
    { blamed: true },
  );

/** 'source-outside': the source does not cover the place or the days. */
export const outside = (id: string, given: string, allowed: string): Failure =>
  failure({ code: 'source-outside', where: `weather source ${id}`, given, allowed }, { blamed: false });

/** Whether something thrown says how a source failed. */
export const isFailure = (thrown: unknown): thrown is Failure => thrown instanceof Error && 'blamed' in thrown;

/**
 * What a reader threw, as a failure. Another thread hands errors over without their marks; and that none was free to read
 * is not the source's fault.
 */
export const whileReading = (thrown: unknown): unknown =>
  isFailure(thrown) || !isWhitethreadError(thrown)
    ? thrown
    : marked(thrown, { blamed: thrown.code === 'source-malformed' });
