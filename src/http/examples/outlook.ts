import type { CatalogueCore } from '../../core/outlook/catalogue.ts';
import { outlook } from '../../core/outlook/outlook.ts';
import { fieldTomorrow, shownOutlook, tomorrowOf } from '../../service/answer.ts';
import { ids } from './records.ts';

const DAYS = 21;
const TIME_ZONE = 'America/Chicago';

const json = (example: unknown) => ({ 'application/json': example });

const weekly = (values: readonly number[]): number[] =>
  Array.from({ length: DAYS }, (_, i) => values[i % values.length] as number);

/** An invented field under invented weather, short enough to read. */
export const exampleField = {
  name: 'Gate Field',
  site: { latitudeDeg: 42, longitudeDeg: -93.8, elevationM: 300, timeZone: TIME_ZONE },
  soil: { texture: 'loam' as const },
  weather: {
    startDate: '2026-05-01',
    forecastFrom: '2026-05-19',
    tempMaxC: weekly([17, 21, 24, 19, 16, 20, 23]),
    tempMinC: weekly([6, 9, 12, 8, 5, 7, 11]),
    rainMm: weekly([0, 0, 9, 2, 0, 0, 0]),
  },
  today: '2026-05-19',
  planting: { crop: 'soybean', date: '2026-05-10', depthCm: 4, rowCm: 76 },
  weeds: [{ species: 'giant-foxtail' }],
  implements: [{ id: 'rotary-hoe' }],
  horizonDays: 1,
};

const pass = {
  passId: ids.pass,
  fieldId: ids.field,
  date: '2026-05-19',
  areaHa: 24,
  operation: 'weed control',
  implement: 'The old hoe (rotary-hoe)',
  operator: 'Tractor and driver',
  depthCm: null,
  crop: 'soybean',
  cropStage: 'sown',
  tempMaxC: 23,
  tempMinC: 11,
  rainMm: 0,
  weedsExpected: 'giant-foxtail: whiteThread 5.5 %, cotyledon 4.2 %',
  weedsCounted: null,
  note: 'Dry, breezy',
  unknown: null,
};

const credit = {
  source: 'us-grid',
  credit: 'Forecast: National Weather Service',
  licence: 'public domain',
  url: 'https://www.weather.gov/disclaimer',
  fetchedAt: '2026-05-12T10:41:07.000Z',
  stale: false,
};

/** Powers and sines differ in their last digits from one engine to the next; an example holds six. */
export const tidy = <T>(answer: T): T =>
  JSON.parse(
    JSON.stringify(answer, (_, value) => (typeof value === 'number' ? Number(value.toPrecision(6)) : value)),
  ) as T;

/** What the library answers for it, stateless and as a stored field. */
export const outlookExamples = (catalogue: CatalogueCore) => {
  const whole = outlook(exampleField, catalogue);
  const answer = tidy(shownOutlook(whole, TIME_ZONE));
  const { name, today } = exampleField;
  const head = { name: 'Plumbline Hollow', invented: false, timeZone: TIME_ZONE, today, remarks: [] };
  const tomorrow = tidy(tomorrowOf(head, [fieldTomorrow(exampleField, whole)]));
  const { weather } = exampleField;
  return {
    outlook: { body: exampleField, answer: json(answer) },
    outlookBatch: {
      body: { fields: [exampleField] },
      answer: { ...json({ outlooks: [{ outlook: answer }] }), 'application/x-ndjson': { index: 0, outlook: answer } },
    },
    replaceWeather: { body: weather, answer: json({ version: 1, findings: [] }) },
    addWeather: { body: weather, answer: json({ version: 2, findings: [] }) },
    readWeather: { answer: { ...json(weather), 'text/csv': 'date,tmax_c,tmin_c,rain_mm\n2026-05-01,17,6,0\n' } },
    tomorrow: { answer: json({ ...tomorrow, credits: [credit] }) },
    fieldOutlook: { answer: json({ ...answer, credits: [credit], remarks: [] }) },
    passRecord: { answer: json({ items: [{ ...pass, field: name }] }) },
  };
};
