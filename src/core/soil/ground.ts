import type { Site } from '../weather/schema.ts';
import type { WeatherDays } from '../weather/series.ts';
import { type ThermalConstants, thermalConstants } from './conductivity.ts';
import { type HeatState, heatState } from './heat.ts';
import { LAYERS } from './layers.ts';
import type { SoilParameters } from './parameters.ts';
import { firstProfile } from './profile.ts';
import type { Soil } from './schema.ts';
import { noSnow, type Snowpack } from './snow.ts';
import { type SoilConstants, soilConstants } from './texture.ts';
import { type LayerLimits, layerLimits, type WaterForcing, type WaterState, wetProfile } from './water.ts';

/**
 * The ground of one run: what does not change, and what each day writes over. Made once, so that a simulated day
 * allocates nothing; numbers that pass between its steps lie in here, because the engine boxes those that a call gives.
 */
export type Ground = {
  readonly constants: SoilConstants;
  readonly thermal: ThermalConstants;
  readonly limits: LayerLimits;
  readonly parameters: SoilParameters;
  readonly water: WaterState;
  readonly forcing: WaterForcing;
  readonly heat: HeatState;
  readonly snow: Snowpack;
  /** Layer by layer: water, what of it can freeze, m3/m3, the share of that which is frozen, conductivity, W/m/K, and heat capacity, J/m3/K. */
  readonly content: Float64Array;
  readonly freezable: Float64Array;
  readonly iceFrac: Float64Array;
  readonly lambda: Float64Array;
  readonly capacity: Float64Array;
  /** Share of the ground shaded by anything. */
  coverFrac: number;
  /** 0 at the wilting point, 1 at field capacity, of the top layer. */
  topWetness: number;
  /** How loose the top is, 0 to 1, and how deep. */
  looseFrac: number;
  looseDepthCm: number;
};

/** A field as a winter leaves it: wet through, settled. */
export const settledGround = (weather: WeatherDays, site: Site, soil: Soil, parameters: SoilParameters): Ground => {
  const constants = soilConstants(soil);
  const limits = layerLimits(constants, soil.drainage, parameters);
  return {
    constants,
    thermal: thermalConstants(constants),
    limits,
    parameters,
    water: wetProfile(limits),
    forcing: { rainMm: 0, tempMeanC: 0, referenceEvaporationMm: 0, cropCoverFrac: 0, coverFrac: 0, looseFrac: 0 },
    heat: heatState(firstProfile(weather, site.latitudeDeg)),
    snow: noSnow(parameters.snow),
    content: new Float64Array(LAYERS),
    freezable: new Float64Array(LAYERS),
    iceFrac: new Float64Array(LAYERS),
    lambda: new Float64Array(LAYERS),
    capacity: new Float64Array(LAYERS),
    coverFrac: 0,
    topWetness: 0,
    looseFrac: 0,
    looseDepthCm: 0,
  };
};
