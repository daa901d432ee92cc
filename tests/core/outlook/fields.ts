import { loadCatalogue } from '../../../src/catalogue/load.ts';
import { dayNumber, isoDate } from '../../../src/core/base/day.ts';
import { outlook } from '../../../src/core/outlook/outlook.ts';
import type { FieldInput, Outlook } from '../../../src/core/outlook/schema.ts';
import type { DailyWeather } from '../../../src/core/weather/schema.ts';
import { showeryWeather } from '../soil/made.ts';

export const catalogue = loadCatalogue();

const tenths = (values: ArrayLike<number>): number[] => Array.from(values, (v) => Math.round(10 * v) / 10);

/** Invented weather as a caller sends it: tenths of a degree and of a millimetre. */
export const sentWeather = (
  startDate: string,
  days: number,
  climate: Parameters<typeof showeryWeather>[2] = {},
): DailyWeather => {
  const { tempMaxC, tempMinC, rainMm } = showeryWeather(startDate, days, climate);
  return { startDate, tempMaxC: tenths(tempMaxC), tempMinC: tenths(tempMinC), rainMm: tenths(rainMm) };
};

/** All of it after `today` is a forecast. */
export const asOf = (weather: DailyWeather, today: string): DailyWeather => ({
  ...weather,
  forecastFrom: isoDate(dayNumber(today) + 1),
});

const TODAY = '2024-05-20';

/** An invented field of corn at 42 north in late May, every part of which a test may replace. */
export const fieldInput = (changes: Partial<FieldInput> = {}): FieldInput => {
  const today = changes.today ?? TODAY;
  return {
    name: 'Invented Ridge',
    site: { latitudeDeg: 42, longitudeDeg: -93, elevationM: 300, timeZone: 'America/Chicago' },
    soil: { texture: 'silt-loam' },
    weather: asOf(sentWeather('2024-01-01', 366), today),
    planting: { crop: 'field-corn', date: '2024-05-06' },
    seedbedDates: ['2024-05-05'],
    weeds: [{ species: 'waterhemp', relativeDensity: 2 }, { species: 'giant-foxtail' }, { species: 'velvetleaf' }],
    implements: [{ id: 'rotary-hoe' }, { id: 'tine-weeder' }, { id: 'row-cultivator-early' }],
    today,
    ...changes,
  };
};

/** The outlook of the invented field with changes. */
export const outlookOf = (changes: Partial<FieldInput> = {}): Outlook => outlook(fieldInput(changes), catalogue);

/** A key left out of the field. */
export const without = <K extends keyof FieldInput>(key: K, changes: Partial<FieldInput> = {}): FieldInput => {
  const { [key]: _, ...rest } = fieldInput(changes);
  return rest as FieldInput;
};

export const allSpecies = catalogue.species.map(({ id }) => ({ species: id }));
export const allImplements = catalogue.implements.map(({ id }) => ({ id }));
