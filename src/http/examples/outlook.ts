import type { CatalogueCore } from '../../core/outlook/catalogue.ts';
import { outlook } from '../../core/outlook/outlook.ts';
import { shownOutlook } from '../../service/answer.ts';

const DAYS = 21;
const TIME_ZONE = 'America/Chicago';

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

/** What the library answers for it. */
export const exampleOutlook = (catalogue: CatalogueCore) => shownOutlook(outlook(exampleField, catalogue), TIME_ZONE);
