import type { Catalogue } from '../../src/catalogue/load.ts';
import { isoDate } from '../../src/core/base/day.ts';
import type { FieldInput } from '../../src/core/outlook/schema.ts';
import { benchSite, benchWeather } from './weather.ts';

/** 1 January 2025. */
const START = 20_089;
const DAYS = 365;

/** Twelve species of the Corn Belt, which the whole bench runs on. */
export const benchSpecies = [
  'waterhemp',
  'giant-foxtail',
  'common-lambsquarters',
  'velvetleaf',
  'giant-ragweed',
  'common-ragweed',
  'redroot-pigweed',
  'yellow-foxtail',
  'wild-buckwheat',
  'field-pennycress',
  'horseweed',
  'canada-thistle',
] as const;

/** The entries of those species, in that order. */
export const speciesOf = ({ species }: Catalogue): Catalogue['species'] =>
  benchSpecies.map((id) => {
    const found = species.find((one) => one.id === id);
    if (found === undefined) throw new Error(`the catalogue has no ${id}`);
    return found;
  });

/** A year of weather, 12 species, 3 implements; today is `today` days into it and windows reach `horizonDays` on. */
export const benchField = (today: number, horizonDays: number): FieldInput => {
  const weather = benchWeather(START, DAYS);
  return {
    name: 'bench',
    site: benchSite,
    soil: { texture: 'silt-loam' },
    weather: {
      startDate: isoDate(START),
      tempMaxC: [...weather.tempMaxC],
      tempMinC: [...weather.tempMinC],
      rainMm: [...weather.rainMm],
      forecastFrom: isoDate(START + today),
    },
    today: isoDate(START + today),
    planting: { crop: 'soybean', date: isoDate(START + 132), depthCm: 4, rowCm: 76 },
    seedbedDates: [isoDate(START + 118), isoDate(START + 132)],
    weeds: benchSpecies.map((species) => ({ species })),
    implements: [{ id: 'rotary-hoe' }, { id: 'tine-weeder' }, { id: 'row-cultivator-early' }],
    horizonDays,
  };
};
