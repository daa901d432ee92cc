/** What is left of a minute's allowance after a request was counted. */
export type Count = { readonly isOver: boolean; readonly left: number; readonly seconds: number };

export type Window = {
  /** Counts one. */
  readonly count: (name: string) => Count;
  /** Counts one where one is left; null, and nothing counted, where none is. */
  readonly take: (name: string) => Count | null;
  /** What a count would find, without counting. */
  readonly peek: (name: string) => Count;
};

const WINDOW_MS = 60_000;
type Used = { used: number; endsMs: number };

/** Whether a window goes on. One that ends later than a minute from now is of before the clock was put back. */
const isOpen = ({ endsMs }: Used, now: number): boolean => endsMs > now && endsMs <= now + WINDOW_MS;

/**
 * Counts by name in windows of a minute that begin with the first count. In this process only, and synchronous: it runs
 * for every request, and a promise would cost more than the count.
 * @param most how many of a name a window allows
 */
export const minuteWindow = (most: number, nowMs: () => number): Window => {
  let windows = new Map<string, Used>();
  let sweptMs = nowMs();

  const sweep = (now: number): void => {
    if (Math.abs(now - sweptMs) < WINDOW_MS) return;
    windows = new Map([...windows].filter(([, used]) => isOpen(used, now)));
    sweptMs = now;
  };
  const found = ({ used, endsMs }: Used, now: number): Count => ({
    isOver: used > most,
    left: Math.max(0, most - used),
    seconds: Math.ceil((endsMs - now) / 1000),
  });
  const current = (name: string, now: number): Used => {
    const known = windows.get(name);
    return known !== undefined && isOpen(known, now) ? known : { used: 0, endsMs: now + WINDOW_MS };
  };

  const counted = (name: string, window: Used, now: number): Count => {
    window.used++;
    if (window.used === 1) windows.set(name, window);
    return found(window, now);
  };

  return {
    count: (name) => {
      const now = nowMs();
      sweep(now);
      return counted(name, current(name, now), now);
    },
    take: (name) => {
      const now = nowMs();
      sweep(now);
      const window = current(name, now);
      return window.used >= most ? null : counted(name, window, now);
    },
    peek: (name) => {
      const now = nowMs();
      return found(current(name, now), now);
    },
  };
};
