import { siteGamma } from '../../src/core/soil/atmosphere.ts';
import { thermalConstants } from '../../src/core/soil/conductivity.ts';
import { sealingIndex } from '../../src/core/soil/crust.ts';
import { layerBottomsCm, layerNodes, NODES, nodeDepthsM } from '../../src/core/soil/layers.ts';
import { soilParameters } from '../../src/core/soil/parameters.ts';
import { firstProfile } from '../../src/core/soil/profile.ts';
import type { Soil } from '../../src/core/soil/schema.ts';
import { soilConstants } from '../../src/core/soil/texture.ts';
import { layerLimits } from '../../src/core/soil/water.ts';
import { WARMEST_HOUR } from '../../src/core/weather/hours.ts';
import type { Site } from '../../src/core/weather/schema.ts';
import type { WeatherDays } from '../../src/core/weather/series.ts';
import type { Species } from '../../src/core/weeds/schema.ts';
import { FROST_HALF_DAYS, KILLING_FROST_C, weedYearStart } from '../../src/core/weeds/season.ts';
import { countsFromFirstDay } from '../../src/core/weeds/seedClock.ts';
import { STAGES, stageEndsCd } from '../../src/core/weeds/stages.ts';

/** A number as C reads it. */
const c = (value: number | null): string => {
  if (value === null || Number.isNaN(value)) return 'NAN';
  if (!Number.isFinite(value)) return value > 0 ? 'INFINITY' : '-INFINITY';
  return Number.isInteger(value) ? `${value}.0` : `${value}`;
};

const list = (values: Iterable<number>): string => `{${[...values].map(c).join(', ')}}`;

/** fillFrac as FILL_FRAC. */
const screaming = (name: string): string => name.replace(/([a-z])([A-Z])/g, '$1_$2').toUpperCase();

const defined = (prefix: string, group: Readonly<Record<string, number | readonly number[]>>): string[] =>
  Object.entries(group).map(([name, value]) => {
    const text = typeof value === 'number' ? `(${c(value)})` : list(value);
    return `#define ${prefix}_${screaming(name)} ${text}`;
  });

const monthDay = (text: string): number => 100 * Number(text.slice(0, 2)) + Number(text.slice(3));

const speciesRow = (species: Species, startDay: number): string => {
  const { germination: g, elongation: e, leaf } = species;
  const components = g.components.map(
    (one) =>
      `{${monthDay(one.start)}, ${countsFromFirstDay(one.start, startDay) ? 1 : 0}, 0, ${[one.shareFrac, one.lagCd, one.scaleCd, one.shape].map(c).join(', ')}, 0, 0}`,
  );
  const scalars = [
    g.baseTempC,
    g.optimumTempC,
    g.basePotentialMPa,
    g.surfaceShareFrac,
    e.baseTempC,
    e.lagCd + e.perCmCd * e.depthCm,
    leaf.baseTempC,
  ];
  const start = monthDay(weedYearStart(species));
  return `{${scalars.map(c).join(', ')}, ${list(stageEndsCd(species))}, ${start}, ${species.lifeForm !== 'winterAnnual' ? 1 : 0}, ${components.length}, {${components.join(', ')}}}`;
};

/** The header that gives kernel.c the library's own constants. */
export const kernelHeader = (weather: WeatherDays, site: Site, soil: Soil, species: readonly Species[]): string => {
  const constants = soilConstants(soil);
  const { wiltingPoint, fieldCapacity, saturation, airEntryKPa, a, b } = constants;
  const thermal = thermalConstants(constants);
  const { weather: sky, water, heat, snow, pass, crust } = soilParameters;
  return [
    `#define DAYS ${weather.days}L`,
    `#define START_DAY ${weather.startDay}L`,
    `#define LATITUDE_DEG (${c(site.latitudeDeg)})`,
    `#define ELEVATION_M (${c(site.elevationM)})`,
    `#define GAMMA (${c(siteGamma(site))})`,
    `#define WARMEST_HOUR (${c(WARMEST_HOUR)})`,
    `#define KILLING_FROST_C (${c(KILLING_FROST_C)})`,
    `#define FROST_HALF_DAYS ${FROST_HALF_DAYS}`,
    `#define RESIDUE_COVER_FRAC (${c(soil.residueCoverFrac)})`,
    `#define CRUST_PRONE ${sealingIndex(constants) <= crust.mostSealingIndex ? 1 : 0}`,
    `#define LAYERS ${layerBottomsCm.length}`,
    `#define NODES ${NODES}`,
    `#define STAGES ${STAGES}`,
    `#define SPECIES ${species.length}`,
    `#define LAYER_BOTTOMS_CM ${list(layerBottomsCm)}`,
    `#define NODE_DEPTHS_M ${list(nodeDepthsM)}`,
    `#define LAYER_NODES {${layerNodes.join(', ')}}`,
    `#define FIRST_PROFILE_C ${list(firstProfile(weather, site.latitudeDeg))}`,
    ...defined('SOIL', { wiltingPoint, fieldCapacity, saturation, airEntryKPa, a, b }),
    ...defined('SOIL', { drainFrac: layerLimits(constants, soil.drainage, soilParameters).drainFrac }),
    ...defined('THERMAL', {
      dry: thermal.dry,
      saturated: thermal.saturated,
      frozenSaturated: thermal.frozenSaturated,
      solidCapacity: thermal.solidCapacity,
    }),
    ...defined('WEATHER', sky),
    ...defined('WATER', water),
    ...defined('HEAT', heat),
    ...defined('SNOW', snow),
    ...defined('PASS', pass),
    ...defined('CRUST', crust),
    `#define SPECIES_TABLE {${species.map((one) => speciesRow(one, weather.startDay)).join(', \\\n  ')}}`,
    '',
  ].join('\n');
};
