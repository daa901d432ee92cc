import type { ErrorCode } from '../../core/base/errors.ts';

/** Who is told how a source is, while others stand in for it and answers go on. */
export type SourceWatch = {
  /** A call failed, and the source is to blame. */
  readonly failed: (source: string, code: ErrorCode) => void;
  /** It failed so often that it is asked once a minute only. */
  readonly stopped: (source: string, problem: string) => void;
  /** It answers again. */
  readonly isBack: (source: string) => void;
};

export const nobodyWatches: SourceWatch = { failed: () => {}, stopped: () => {}, isBack: () => {} };
