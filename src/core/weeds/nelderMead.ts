type Corner = { readonly x: readonly number[]; readonly value: number };

/**
 * Where a function is least near a start, by the downhill simplex: reflect the worst corner, stretch, contract or
 * shrink. It needs no derivative, which medians of dates do not have.
 * Source: Nelder & Mead 1965 Computer Journal 7:308, with its coefficients 1, 2, 0.5 and 0.5.
 * @param step first distance of the corners from the start
 * @param mostSteps ends here, or when all corners are alike to 1e-9
 * @example nelderMead(([x]) => (x - 3) ** 2, [0], 1, 200) // [3]
 */
export const nelderMead = (
  f: (x: readonly number[]) => number,
  start: readonly number[],
  step: number,
  mostSteps: number,
): readonly number[] => {
  const corner = (x: readonly number[]): Corner => ({ x, value: f(x) });
  let simplex = [start, ...start.map((_, i) => start.map((v, k) => (k === i ? v + step : v)))].map(corner);
  for (let n = 0; n < mostSteps; n++) {
    simplex.sort((a, b) => a.value - b.value);
    const best = simplex[0] as Corner;
    const worst = simplex[simplex.length - 1] as Corner;
    if (worst.value - best.value < 1e-9) break;
    const others = simplex.slice(0, -1);
    const centre = start.map((_, k) => others.reduce((sum, c) => sum + (c.x[k] as number), 0) / others.length);
    const along = (t: number): Corner => corner(centre.map((v, k) => v + t * ((worst.x[k] as number) - v)));
    const reflected = along(-1);
    const secondWorst = others[others.length - 1] as Corner;
    if (reflected.value < best.value) {
      const stretched = along(-2);
      simplex = [...others, stretched.value < reflected.value ? stretched : reflected];
    } else if (reflected.value < secondWorst.value) simplex = [...others, reflected];
    else {
      const contracted = along(reflected.value < worst.value ? -0.5 : 0.5);
      if (contracted.value < Math.min(reflected.value, worst.value)) simplex = [...others, contracted];
      else simplex = simplex.map((c) => (c === best ? c : corner(c.x.map((v, k) => (v + (best.x[k] as number)) / 2))));
    }
  }
  return simplex.reduce((a, b) => (b.value < a.value ? b : a)).x;
};
