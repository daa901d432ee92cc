import { describe, expect, test } from 'vitest';
import { factorDay, heatHour, heatState } from '../../../src/core/soil/heat.ts';
import { gapLayers, LAYERS, NODES, nodeGapsM } from '../../../src/core/soil/layers.ts';
import { numbers } from './made.ts';

/** A day of the field's surface and its soil, invented. */
type Day = {
  readonly conductivity: Float64Array;
  readonly capacity: Float64Array;
  /** What can freeze, m3/m3. */
  readonly water: Float64Array;
  readonly exchange: number;
  /** W/m2 into the surface, hour by hour, the exchange with the air included. */
  readonly gain: readonly number[];
};

/** A year of a continental place: winters far below 0, summers above 30, wet and dry spells, sun by day. */
const inventedYear = (seed: number, days: number): Day[] => {
  const next = numbers(seed);
  return Array.from({ length: days }, (_, d) => {
    const season = -Math.cos((2 * Math.PI * (d + 10)) / 365);
    const mean = 9 + 15 * season + 8 * (next() - 0.5);
    const wet = 0.12 + 0.25 * next();
    const exchange = 8 + 14 * next();
    const sun = (110 + 70 * season) * (0.4 + 0.6 * next());
    const layers = (value: (k: number) => number) => Float64Array.from({ length: LAYERS }, (_, k) => value(k));
    return {
      conductivity: layers((k) => 0.5 + 2.5 * wet + 0.1 * k),
      capacity: layers(() => 1.1e6 + 4.18e6 * wet),
      water: layers(() => wet),
      exchange,
      gain: Array.from({ length: 24 }, (_, h) => {
        const air = mean + 6 * Math.cos((2 * Math.PI * (h + 0.5 - 14)) / 24);
        return exchange * air + Math.PI * sun * Math.max(0, -Math.cos((2 * Math.PI * (h + 0.5)) / 24)) - 40;
      }),
    };
  });
};

/** The sum of a layer's value over half of the gap to either side of each node. */
const around = (values: Float64Array): number[] => {
  const sums = new Array<number>(NODES).fill(0);
  for (let g = 0; g < NODES - 1; g++)
    for (const node of [g, g + 1])
      sums[node] = (sums[node] as number) + ((nodeGapsM[g] as number) / 2) * (values[gapLayers[g] as number] as number);
  return sums;
};

/** Heat of a node above that of its water, thawed, at 0 C, J/m2, and what it takes to know it. */
type Node = { readonly heat: number; readonly held: number; readonly latent: number };

/** The enthalpy method: between the heats of ice and of water the node stays at 0 C. */
const tempOf = ({ heat, held, latent }: Node): number =>
  heat > 0 ? heat / held : heat < -latent ? (heat + latent) / held : 0;
const frozenOf = ({ heat, latent }: Node): number => Math.min(latent, Math.max(0, -heat));

const conductanceOf = (day: Day, gap: number): number =>
  (day.conductivity[gapLayers[gap] as number] as number) / (nodeGapsM[gap] as number);

/** One hour of an explicit scheme with so short steps that it is stable and as good as exact; phase change in every step. */
const explicitHour = (day: Day, nodes: readonly Node[], gain: number): Node[] => {
  const steps = 180;
  let now = [...nodes];
  for (let s = 0; s < steps; s++) {
    const t = now.map(tempOf);
    const flux = new Array<number>(NODES).fill(0);
    flux[0] = gain - day.exchange * (t[0] as number);
    for (let g = 0; g < NODES - 1; g++) {
      const down = conductanceOf(day, g) * ((t[g] as number) - (t[g + 1] as number));
      flux[g] = (flux[g] as number) - down;
      flux[g + 1] = (flux[g + 1] as number) + down;
    }
    now = now.map((node, i) => ({ ...node, heat: node.heat + ((flux[i] as number) * 3600) / steps }));
  }
  return now;
};

/** One implicit hour, node by node until none moves any more (Gauss and Seidel), the phase change in each. */
const implicitHour = (day: Day, nodes: readonly Node[], gain: number): Node[] => {
  const up = nodes.map((_, i) => (i === 0 ? day.exchange : conductanceOf(day, i - 1)));
  const down = nodes.map((_, i) => (i === NODES - 1 ? 0 : conductanceOf(day, i)));
  const t = nodes.map(tempOf);
  let moved = 1;
  while (moved > 1e-12) {
    moved = 0;
    for (let i = 0; i < NODES; i++) {
      const { heat, held, latent } = nodes[i] as Node;
      const above = i === 0 ? gain : (up[i] as number) * (t[i - 1] as number);
      const below = i === NODES - 1 ? 0 : (down[i] as number) * (t[i + 1] as number);
      // Heat of the node an hour later, were it at 0 C; conduction holds it back from either side.
      const atZero = heat + 3600 * (above + below);
      const stiff = held + 3600 * ((up[i] as number) + (down[i] as number));
      const next = atZero > 0 ? atZero / stiff : atZero < -latent ? (atZero + latent) / stiff : 0;
      moved = Math.max(moved, Math.abs(next - (t[i] as number)));
      t[i] = next;
    }
  }
  const flows = t.map((own, i) => {
    const above = i === 0 ? gain - day.exchange * own : (up[i] as number) * ((t[i - 1] as number) - own);
    return above + (i === NODES - 1 ? 0 : (down[i] as number) * ((t[i + 1] as number) - own));
  });
  return nodes.map((node, i) => ({ ...node, heat: node.heat + 3600 * (flows[i] as number) }));
};

/** Soil at 5 cm hour by hour, by the product and by a reference. */
const both = (days: readonly Day[], hour: typeof explicitHour): { ours: number[]; theirs: number[] } => {
  const first = Array.from({ length: NODES }, (_, i) => 4 + 0.5 * i);
  const state = heatState(Float64Array.from(first));
  let tempC: readonly number[] = first;
  let frozen: readonly number[] = first.map(() => 0);
  const ours: number[] = [];
  const theirs: number[] = [];
  for (const day of days) {
    state.exchange = day.exchange;
    factorDay(state, day.conductivity, day.capacity, day.water);
    const held = around(day.capacity);
    const most = around(day.water).map((water) => 334e6 * water);
    // The day's water may be less than what is frozen: ice stays until it thaws.
    let nodes: readonly Node[] = tempC.map((t, i) => {
      const ice = frozen[i] as number;
      const node = { held: held[i] as number, latent: Math.max(most[i] as number, ice) };
      return { ...node, heat: node.held * t - ice };
    });
    for (const gain of day.gain) {
      state.gainW[0] = gain;
      heatHour(state, 0);
      nodes = hour(day, nodes, gain);
      ours.push(state.tempC[3] as number);
      theirs.push(tempOf(nodes[3] as Node));
    }
    tempC = nodes.map(tempOf);
    frozen = nodes.map(frozenOf);
  }
  return { ours, theirs };
};

const dailyMeans = (hours: readonly number[]): number[] =>
  Array.from({ length: hours.length / 24 }, (_, d) => hours.slice(24 * d, 24 * d + 24).reduce((a, b) => a + b, 0) / 24);
const worst = (a: readonly number[], b: readonly number[]): number =>
  Math.max(...a.map((v, i) => Math.abs(v - (b[i] as number))));

describe('heat against an independent slow reference (N5)', () => {
  test('a year of hours at 5 cm, frost and thaw in it, is that of another solver of the same equations, to 1e-7 C', () => {
    const { ours, theirs } = both(inventedYear(1, 365), implicitHour);
    expect(Math.min(...ours)).toBeLessThan(-1);
    expect(Math.max(...ours)).toBeGreaterThan(25);
    expect(ours.filter((t) => t === 0).length).toBeGreaterThan(100);
    expect(worst(ours, theirs)).toBeLessThan(1e-7);
  });

  test('one step an hour against 180, through frost and thaw: daily means at 5 cm within 0.15 C (measured 0.12; single hours 1.0)', () => {
    const { ours, theirs } = both(inventedYear(2, 365).slice(0, 150), explicitHour);
    expect(ours.filter((t) => t === 0).length).toBeGreaterThan(100);
    expect(worst(dailyMeans(ours), dailyMeans(theirs))).toBeLessThan(0.15);
  });
});
