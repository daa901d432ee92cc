import { gapLayers, NODES, nodeGapsM } from './layers.ts';

const HOUR = 3600;
/** Latent heat of freezing, J per m3 of water. */
const FREEZING = 334e6;

/** Heat capacity of a node whose water freezes or thaws, W h/m2/K: any so large that it stays at 0 C. */
const PHASE_CHANGE = 1e12;

/** How the water around a node is. */
const THAWED = 0;
const PARTLY = 1;
const FROZEN = 2;

/**
 * Nodes that change phase all at once may go round in circles. After so many rounds they do so one at a time, from the top
 * down, which ends (Murty's least index for linear complementarity, from memory). Of 100,000 hours of frost at Ames three quarters took
 * one round and none more than 17.
 */
const ROUNDS_AT_ONCE = 10;
const MOST_ROUNDS = 200;

/**
 * The profile, the matrix of one day and what drives its surface, allocated once. The drivers lie in here and are not
 * passed, because the engine boxes a number that a call takes.
 */
export type HeatState = {
  readonly tempC: Float64Array;
  /** An hour before. */
  readonly beforeC: Float64Array;
  /** Between surface and air, W/m2/K. */
  exchange: number;
  /** Hour by hour, W/m2 into the surface besides conduction: radiation, exchange times air temperature, less latent heat. */
  readonly gainW: Float64Array;
  /** From each node to the next; 0 from the last, where the profile ends. */
  readonly gapConductance: Float64Array;
  /** Heat capacity around a node, W h/m2/K. */
  readonly capacityWh: Float64Array;
  /** Factors of the tridiagonal matrix: link to the node above, and one over the pivot. */
  readonly link: Float64Array;
  readonly pivot: Float64Array;
  /** Latent heat of the water that is frozen around a node, and of all that can freeze there, W h/m2. */
  readonly iceWh: Float64Array;
  readonly mostIceWh: Float64Array;
  readonly phase: Uint8Array;
  /** Whether any node is not thawed. */
  hasFrost: boolean;
};

/** A profile as it starts, thawed, with room for a day. @param profileC temperature of every node; it is written to */
export const heatState = (profileC: Float64Array): HeatState => ({
  tempC: profileC,
  beforeC: new Float64Array(NODES),
  exchange: 0,
  gainW: new Float64Array(24),
  gapConductance: new Float64Array(NODES),
  capacityWh: new Float64Array(NODES),
  link: new Float64Array(NODES),
  pivot: new Float64Array(NODES),
  iceWh: new Float64Array(NODES),
  mostIceWh: new Float64Array(NODES),
  phase: new Uint8Array(NODES),
  hasFrost: false,
});

/** Factors the matrix for the phases as they are, from the top down: what links a node to the one above, first the air. */
const factor = ({ exchange, gapConductance, capacityWh, phase, link, pivot }: HeatState): void => {
  let up = exchange;
  let carried = 0;
  for (let i = 0; i < NODES; i++) {
    const down = gapConductance[i];
    link[i] = carried;
    pivot[i] = 1 / ((phase[i] === PARTLY ? PHASE_CHANGE : capacityWh[i]) + up + down - carried * up);
    carried = down * pivot[i];
    up = down;
  }
};

/**
 * Sets the day's matrix: conductances between nodes, heat capacity around them and the exchange with the air; and how
 * much can freeze. Until a node freezes or thaws it is constant within the day: it is factored once and hours only substitute.
 * @param layerConductivity W/m/K per water layer
 * @param layerCapacity J/m3/K per water layer
 * @param layerFreezable water that freezes at 0 C, m3/m3 per water layer
 */
export const factorDay = (
  state: HeatState,
  layerConductivity: Float64Array,
  layerCapacity: Float64Array,
  layerFreezable: Float64Array,
): void => {
  const { gapConductance, capacityWh, iceWh, mostIceWh } = state;
  capacityWh.fill(0);
  mostIceWh.fill(0);
  for (let i = 0; i < NODES - 1; i++) {
    const layer = gapLayers[i];
    const gap = nodeGapsM[i];
    gapConductance[i] = layerConductivity[layer] / gap;
    const capacity = (gap * layerCapacity[layer]) / (2 * HOUR);
    const freezing = (gap * FREEZING * layerFreezable[layer]) / (2 * HOUR);
    capacityWh[i] += capacity;
    capacityWh[i + 1] += capacity;
    mostIceWh[i] += freezing;
    mostIceWh[i + 1] += freezing;
  }
  // Ice stays where the water of a layer has become less.
  for (let i = 0; i < NODES; i++) mostIceWh[i] = Math.max(mostIceWh[i], iceWh[i]);
  factor(state);
};

/** What a node turns out to be that was taken to be `now` and came to this temperature. */
const phaseAt = (now: number, tempC: number, mostIceWh: number): number => {
  if (now === THAWED) return tempC < 0 ? PARTLY : THAWED;
  if (now === FROZEN) return tempC > 0 ? PARTLY : FROZEN;
  const frozenWh = -PHASE_CHANGE * tempC;
  return frozenWh < 0 ? THAWED : frozenWh > mostIceWh ? FROZEN : PARTLY;
};

/**
 * Sets the phases that the temperatures ask for. @param isOne the topmost node alone
 * @returns whether any is another than was taken
 */
const phasesChanged = ({ tempC, phase, mostIceWh }: HeatState, isOne: boolean): boolean => {
  let changed = false;
  for (let i = 0; i < NODES; i++) {
    const next = phaseAt(phase[i], tempC[i], mostIceWh[i]);
    if (next === phase[i]) continue;
    phase[i] = next;
    changed = true;
    if (isOne) break;
  }
  return changed;
};

/**
 * An hour with frost, from `beforeC`: the implicit enthalpy method. A node is thawed, frozen, or in between at 0 C with a
 * share of its water frozen; it is solved again until every node is as it was taken to be. So a soil that freezes or
 * thaws stays at 0 C, and the heat of a frost comes back when it thaws.
 */
const frostHour = (state: HeatState, hour: number): void => {
  const { tempC, beforeC, gainW, gapConductance, capacityWh, link, pivot, iceWh, mostIceWh, phase } = state;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    let t = gainW[hour];
    for (let i = 0; i < NODES; i++) {
      t =
        capacityWh[i] * beforeC[i] - iceWh[i] + (phase[i] === FROZEN ? mostIceWh[i] : 0) + (i === 0 ? t : link[i] * t);
      tempC[i] = t;
    }
    t = 0;
    for (let i = NODES - 1; i >= 0; i--) {
      t = (tempC[i] + gapConductance[i] * t) * pivot[i];
      tempC[i] = t;
    }
    if (!phasesChanged(state, round >= ROUNDS_AT_ONCE)) break;
    factor(state);
  }
  state.hasFrost = false;
  for (let i = 0; i < NODES; i++) {
    const now = phase[i];
    iceWh[i] = now === THAWED ? 0 : now === FROZEN ? mostIceWh[i] : -PHASE_CHANGE * tempC[i];
    if (now === PARTLY) tempC[i] = 0;
    if (now !== THAWED) state.hasFrost = true;
  }
};

/**
 * One hour of the day, 0 to 23, implicit: solves for the profile at the end of the hour.
 * Conduction after Campbell & Norman 1998, tridiagonal solution by elimination.
 */
export const heatHour = (state: HeatState, hour: number): void => {
  const { tempC, beforeC, gainW, gapConductance, capacityWh, link, pivot } = state;
  if (state.hasFrost) {
    beforeC.set(tempC);
    frostHour(state, hour);
    return;
  }
  // The neighbour just solved stays in a variable: reading it back makes the whole soil stage a third slower.
  let above = gainW[hour];
  for (let i = 0; i < NODES; i++) {
    beforeC[i] = tempC[i];
    above = capacityWh[i] * tempC[i] + (i === 0 ? above : link[i] * above);
    tempC[i] = above;
  }
  let below = 0;
  for (let i = NODES - 1; i >= 0; i--) {
    below = (tempC[i] + gapConductance[i] * below) * pivot[i];
    tempC[i] = below;
  }
  // Frost comes from above.
  if (below < 0) frostHour(state, hour);
};
