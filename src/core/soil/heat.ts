import { gapLayers, NODES, nodeGapsM } from './layers.ts';

const HOUR = 3600;
/** Latent heat of freezing, J per m3 of water. */
const FREEZING = 334e6;

/**
 * The profile, the matrix of one day and what drives its surface, allocated once. The drivers lie in here and are not
 * passed, because the engine boxes a number that a call takes.
 */
export type HeatState = {
  readonly tempC: Float64Array;
  /** Between surface and air, W/m2/K. */
  exchange: number;
  /** Hour by hour, W/m2 into the surface besides conduction: radiation, exchange times air temperature, less latent heat. */
  readonly gainW: Float64Array;
  /** Degrees below 0 over which water freezes. */
  readonly freezingRangeC: number;
  /** From each node to the next; 0 from the last, where the profile ends. */
  readonly gapConductance: Float64Array;
  /** Heat capacity around a node over one hour, W/m2/K. */
  readonly hourCapacity: Float64Array;
  /** Factors of the tridiagonal matrix: link to the node above, and one over the pivot. */
  readonly link: Float64Array;
  readonly pivot: Float64Array;
};

/** A profile as it starts, with room for a day. @param profileC temperature of every node; it is written to */
export const heatState = (profileC: Float64Array, freezingRangeC: number): HeatState => ({
  tempC: profileC,
  exchange: 0,
  gainW: new Float64Array(24),
  freezingRangeC,
  gapConductance: new Float64Array(NODES),
  hourCapacity: new Float64Array(NODES),
  link: new Float64Array(NODES),
  pivot: new Float64Array(NODES),
});

/**
 * Sets the day's matrix: conductances between nodes, heat capacity around them with the latent heat of freezing spread
 * over the degrees below 0, and the exchange with the air. It is constant within the day, so it is factored once and
 * 24 hours only substitute.
 * @param layerConductivity W/m/K per water layer
 * @param layerCapacity J/m3/K per water layer
 * @param layerWater m3/m3 per water layer
 */
export const factorDay = (
  state: HeatState,
  layerConductivity: Float64Array,
  layerCapacity: Float64Array,
  layerWater: Float64Array,
): void => {
  const { tempC, freezingRangeC, gapConductance, hourCapacity, link, pivot } = state;
  hourCapacity.fill(0);
  for (let i = 0; i < NODES - 1; i++) {
    const layer = gapLayers[i];
    const gap = nodeGapsM[i];
    gapConductance[i] = layerConductivity[layer] / gap;
    const freezing = (FREEZING * layerWater[layer]) / freezingRangeC;
    const half = gap / 2;
    const above = tempC[i];
    const below = tempC[i + 1];
    hourCapacity[i] += half * (layerCapacity[layer] + (above < 0 && above > -freezingRangeC ? freezing : 0));
    hourCapacity[i + 1] += half * (layerCapacity[layer] + (below < 0 && below > -freezingRangeC ? freezing : 0));
  }
  // From the top down: what links a node to the one above, first the air.
  let up = state.exchange;
  let carried = 0;
  for (let i = 0; i < NODES; i++) {
    const down = gapConductance[i];
    hourCapacity[i] /= HOUR;
    link[i] = carried;
    pivot[i] = 1 / (hourCapacity[i] + up + down - carried * up);
    carried = down * pivot[i];
    up = down;
  }
};

/**
 * One hour of the day, 0 to 23, implicit: solves for the profile at the end of the hour.
 * Conduction after Campbell & Norman 1998, tridiagonal solution by elimination.
 */
export const heatHour = (state: HeatState, hour: number): void => {
  const { tempC, gainW, gapConductance, hourCapacity, link, pivot } = state;
  // The neighbour just solved stays in a variable: reading it back makes the whole soil stage a third slower.
  let above = hourCapacity[0] * tempC[0] + gainW[hour];
  tempC[0] = above;
  for (let i = 1; i < NODES; i++) {
    above = hourCapacity[i] * tempC[i] + link[i] * above;
    tempC[i] = above;
  }
  let below = above * pivot[NODES - 1];
  tempC[NODES - 1] = below;
  for (let i = NODES - 2; i >= 0; i--) {
    below = (tempC[i] + gapConductance[i] * below) * pivot[i];
    tempC[i] = below;
  }
};
