import { describe, expect, it } from 'vitest';
import { factorDay, type HeatState, heatHour, heatState } from '../../src/core/soil/heat.ts';
import { LAYERS, NODES, nodeDepthsM } from '../../src/core/soil/layers.ts';

/** Uniform soil, W/m/K and J/m3/K: moist loam. */
const CONDUCTIVITY = 1.1;
const CAPACITY = 2.2e6;
const MEAN = 20;
const AMPLITUDE = 10;
/** So strong an exchange that the surface has the temperature of the air. */
const EXCHANGE = 1e6;

const uniform = (value: number) => new Float64Array(LAYERS).fill(value);
const day = 2 * Math.PI;
const dampingM = (hours: number) => Math.sqrt((2 * (CONDUCTIVITY / CAPACITY)) / (day / (hours * 3600)));

/** Each node's amplitude and lag in radians behind the surface wave, from the last full wave. */
const waves = (periodH: number, periods: number): { amplitude: number; lag: number }[] => {
  const state: HeatState = heatState(new Float64Array(NODES).fill(MEAN), 1.5);
  state.exchange = EXCHANGE;
  factorDay(state, uniform(CONDUCTIVITY), uniform(CAPACITY), uniform(0.25));
  const sine = new Float64Array(NODES);
  const cosine = new Float64Array(NODES);
  for (let h = 1; h <= periods * periodH; h++) {
    const angle = (day * h) / periodH;
    state.gainW[0] = EXCHANGE * (MEAN + AMPLITUDE * Math.sin(angle));
    heatHour(state, 0);
    if (h <= (periods - 1) * periodH) continue;
    for (let i = 0; i < NODES; i++) {
      sine[i] += ((state.tempC[i] - MEAN) * Math.sin(angle) * 2) / periodH;
      cosine[i] += ((state.tempC[i] - MEAN) * Math.cos(angle) * 2) / periodH;
    }
  }
  return Array.from(sine, (s, i) => ({ amplitude: Math.hypot(s, cosine[i]), lag: -Math.atan2(cosine[i], s) }));
};

/** Insulated at 2.5 m, as the profile is: cosh((L - z)(1 + i)/d) / cosh(L (1 + i)/d), Carslaw & Jaeger's slab. */
const slabWave = (depthM: number, dampM: number): { amplitude: number; lag: number } => {
  const bottom = nodeDepthsM[NODES - 1] as number;
  const cosh = (x: number) => [Math.cosh(x) * Math.cos(x), Math.sinh(x) * Math.sin(x)] as const;
  const [a, b] = cosh((bottom - depthM) / dampM);
  const [c, e] = cosh(bottom / dampM);
  return { amplitude: AMPLITUDE * (Math.hypot(a, b) / Math.hypot(c, e)), lag: Math.atan2(e, c) - Math.atan2(b, a) };
};

const depthOf = (node: number) => nodeDepthsM[node] as number;
const nodesTo = (depthM: number) => nodeDepthsM.map((_, i) => i).filter((i) => depthOf(i) <= depthM);

describe('damped wave, Campbell & Norman 1998: A exp(-z/d) sin(wt - z/d), d = sqrt(2k/w)', () => {
  const d = dampingM(24);
  const daily = waves(24, 60);

  it('the daily wave has d 0.117 m in moist loam', () => expect(d).toBeCloseTo(0.117, 3));

  it.each(nodesTo(0.3).map((i) => [depthOf(i), i]))(
    'daily wave at %d m: amplitude within 3 %% of the surface wave, phase within 0.11 rad (25 min)',
    (depth, i) => {
      const { amplitude, lag } = daily[i] as (typeof daily)[number];
      // One implicit step an hour damps a little too much and is a little early; finer steps would cost more.
      expect(Math.abs(amplitude / AMPLITUDE - Math.exp(-depth / d))).toBeLessThan(0.03);
      expect(Math.abs(lag - depth / d)).toBeLessThan(0.11);
    },
  );

  it('below 45 cm less than 2 % of the daily wave is left', () => {
    for (const { amplitude } of daily.slice(9)) expect(amplitude / AMPLITUDE).toBeLessThan(0.02);
  });

  const yearly = waves(8766, 4);
  it.each(nodeDepthsM.map((depth, i) => [depth, i]))(
    'yearly wave at %d m, insulated at 2.5 m: amplitude within 1 %% of the surface wave, phase within 0.02 rad (1.2 d)',
    (depth, i) => {
      const { amplitude, lag } = yearly[i] as (typeof yearly)[number];
      const exact = slabWave(depth, dampingM(8766));
      expect(Math.abs(amplitude - exact.amplitude) / AMPLITUDE).toBeLessThan(0.01);
      expect(Math.abs(lag - exact.lag)).toBeLessThan(0.02);
    },
  );
});

describe('energy', () => {
  /** J/m2/K around each node: half of the gap to either side, with the latent heat of 0.25 m3/m3 spread over 1.5 C of frost. */
  const capacities = (morningC: Float64Array): number[] =>
    Array.from(morningC, (t, i) => {
      const above = i > 0 ? depthOf(i) - depthOf(i - 1) : 0;
      const below = i < NODES - 1 ? depthOf(i + 1) - depthOf(i) : 0;
      const freezing = t < 0 && t > -1.5 ? (334e6 * 0.25) / 1.5 : 0;
      return ((above + below) / 2) * (CAPACITY + freezing);
    });

  it('what the profile gains in an hour is what the surface took up, to 1e-3 J/m2, through frost too', () => {
    const profile = Float64Array.from({ length: NODES }, (_, i) => 4 - 6 * Math.exp(-depthOf(i) / 0.1));
    const state = heatState(profile, 1.5);
    const exchange = 12;
    state.exchange = exchange;
    let held = capacities(state.tempC);
    let frost = 0;
    for (let hour = 0; hour < 24 * 60; hour++) {
      if (hour % 24 === 0) {
        held = capacities(state.tempC);
        factorDay(state, uniform(CONDUCTIVITY), uniform(CAPACITY), uniform(0.25));
      }
      const before = state.tempC.slice();
      const gain = 100 * Math.sin(hour / 4) - 20;
      state.gainW[0] = gain;
      heatHour(state, 0);
      const stored = held.reduce((sum, c, i) => sum + c * ((state.tempC[i] as number) - (before[i] as number)), 0);
      expect(Math.abs(stored - 3600 * (gain - exchange * (state.tempC[0] as number)))).toBeLessThan(1e-3);
      if ((state.tempC[2] as number) < 0) frost++;
    }
    expect(frost).toBeGreaterThan(100);
  });
});
