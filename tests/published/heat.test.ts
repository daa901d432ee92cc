import { describe, expect, it } from 'vitest';
import { factorDay, type HeatState, heatHour, heatState } from '../../src/core/soil/heat.ts';
import { LAYERS, NODES, nodeDepthsM } from '../../src/core/soil/layers.ts';
import { numbers } from '../core/soil/made.ts';

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
  const state: HeatState = heatState(new Float64Array(NODES).fill(MEAN));
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

/** Half of the gap to either side of each node, m. */
const thicknesses = Array.from({ length: NODES }, (_, i) => {
  const above = i > 0 ? depthOf(i) - depthOf(i - 1) : 0;
  const below = i < NODES - 1 ? depthOf(i + 1) - depthOf(i) : 0;
  return (above + below) / 2;
});
const WATER = 0.25;

describe('energy', () => {
  /** Heat of the profile, J/m2, above that of the same soil thawed at 0 C. */
  const heatOf = ({ tempC, iceWh }: HeatState): number =>
    thicknesses.reduce((sum, m, i) => sum + m * CAPACITY * (tempC[i] as number) - 3600 * (iceWh[i] as number), 0);

  const storedJ = ({ tempC, capacityWh, iceWh }: HeatState): number =>
    3600 * tempC.reduce((sum, t, i) => sum + (capacityWh[i] as number) * t - (iceWh[i] as number), 0);

  it('what the profile gains in an hour is what the surface took up, to 1e-3 J/m2, through frost and thaw', () => {
    const state = heatState(Float64Array.from({ length: NODES }, (_, i) => 4 - 6 * Math.exp(-depthOf(i) / 0.1)));
    const exchange = 12;
    state.exchange = exchange;
    factorDay(state, uniform(CONDUCTIVITY), uniform(CAPACITY), uniform(WATER));
    let frost = 0;
    let thaws = 0;
    for (let hour = 0; hour < 24 * 60; hour++) {
      const [before, iceBefore] = [heatOf(state), state.iceWh[0] as number];
      const gain = 100 * Math.sin(hour / 40) - 20;
      state.gainW[0] = gain;
      heatHour(state, 0);
      const takenJ = 3600 * (gain - exchange * (state.tempC[0] as number));
      expect(Math.abs(heatOf(state) - before - takenJ)).toBeLessThan(1e-3);
      if ((state.iceWh[2] as number) > 0) frost++;
      if ((state.iceWh[0] as number) < iceBefore) thaws++;
    }
    expect(frost).toBeGreaterThan(100);
    expect(thaws).toBeGreaterThan(10);
  });

  it('so in random soils and weathers, ice never less than none nor more than there is water', () => {
    const next = numbers(7);
    const random = (low: number, high: number): Float64Array =>
      Float64Array.from({ length: LAYERS }, () => low + (high - low) * next());
    for (let run = 0; run < 40; run++) {
      const state = heatState(Float64Array.from({ length: NODES }, () => 6 * next() - 3));
      for (let d = 0; d < 40; d++) {
        state.exchange = 0.2 + 30 * next();
        const capacity = random(1e6, 4e6);
        // Dry ground has nothing that could freeze.
        factorDay(state, random(0.1, 5), capacity, next() < 0.2 ? uniform(0) : random(0, 0.4));
        const air = 30 * (next() - 0.5);
        for (let h = 0; h < 24; h++) {
          const before = storedJ(state);
          const gain = state.exchange * (air + 8 * Math.sin(h / 4)) + 200 * (next() - 0.5);
          state.gainW[0] = gain;
          heatHour(state, 0);
          const takenJ = 3600 * (gain - state.exchange * (state.tempC[0] as number));
          expect(Math.abs(storedJ(state) - before - takenJ)).toBeLessThan(0.1);
        }
        state.iceWh.forEach((ice, i) => {
          expect(ice).toBeGreaterThanOrEqual(0);
          expect(ice).toBeLessThanOrEqual(state.mostIceWh[i] as number);
        });
      }
    }
  });

  it('the cold of a frost goes as it came: as much heat given back as was taken leaves the soil as warm as before', () => {
    const state = heatState(new Float64Array(NODES).fill(2));
    state.exchange = 0;
    factorDay(state, uniform(CONDUCTIVITY), uniform(CAPACITY), uniform(WATER));
    const run = (hours: number, gain: number): void => {
      state.gainW[0] = gain;
      for (let hour = 0; hour < hours; hour++) heatHour(state, 0);
    };
    run(72, -40);
    expect(state.tempC[1]).toBeLessThan(-1);
    run(72, 40);
    // Until it is even from top to bottom.
    run(24 * 4000, 0);
    for (const tempC of state.tempC) expect(tempC).toBeCloseTo(2, 6);
  });
});

describe('frost depth, Stefan: sqrt(2 k (0 - Ts) t / (L w)) of soil at 0 C that holds no heat but that of freezing', () => {
  // Derived: the heat that flows through the frozen depth X freezes on, k (0 - Ts) / X = L w dX/dt. Stefan's name is from memory.
  it.each([10, 40, 120])('after %d days at -5 C, within 1 in 100', (days) => {
    const state = heatState(new Float64Array(NODES));
    state.exchange = EXCHANGE;
    state.gainW[0] = EXCHANGE * -5;
    factorDay(state, uniform(CONDUCTIVITY), uniform(1e3), uniform(WATER));
    for (let hour = 0; hour < 24 * days; hour++) heatHour(state, 0);
    const frozenM = (3600 * state.iceWh.reduce((sum, wh) => sum + wh, 0)) / (334e6 * WATER);
    const stefanM = Math.sqrt((2 * CONDUCTIVITY * 5 * 86400 * days) / (334e6 * WATER));
    expect(Math.abs(frozenM / stefanM - 1)).toBeLessThan(0.01);
  });
});
