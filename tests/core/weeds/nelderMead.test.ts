import { describe, expect, it } from 'vitest';
import { nelderMead } from '../../../src/core/weeds/nelderMead.ts';

describe('nelderMead', () => {
  it('finds 3 for (x - 3)^2', () => {
    const [x] = nelderMead(([v]) => ((v as number) - 3) ** 2, [0], 1, 200);
    expect(x).toBeCloseTo(3, 3);
  });

  it("finds (1, 1) in Rosenbrock's valley from (-1.2, 1), as in the paper", () => {
    const valley = ([x, y]: readonly number[]): number =>
      100 * ((y as number) - (x as number) ** 2) ** 2 + (1 - (x as number)) ** 2;
    const [x, y] = nelderMead(valley, [-1.2, 1], 0.5, 500);
    expect(x).toBeCloseTo(1, 3);
    expect(y).toBeCloseTo(1, 3);
  });

  it('shrinks its way through a function with steps', () => {
    const [x, y] = nelderMead(
      ([a, b]) => Math.abs(Math.round(4 * (a as number)) - 8) + Math.abs((b as number) + 1),
      [0, 0],
      1,
      400,
    );
    expect(x).toBeCloseTo(2, 0);
    expect(y).toBeCloseTo(-1, 2);
  });

  it('stops after so many steps', () => {
    let calls = 0;
    const f = ([x]: readonly number[]): number => {
      calls++;
      return (x as number) ** 2;
    };
    nelderMead(f, [100], 1, 3);
    expect(calls).toBeLessThan(12);
  });
});
