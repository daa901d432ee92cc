/** An invented farm and an invented spring, as a program of another house would send them. */

const DAY_MS = 86_400_000;
const dateOf = (day: number): string => new Date(Date.UTC(2026, 0, 1) + day * DAY_MS).toISOString().slice(0, 10);
/** To a tenth; zero without a sign, as JSON has it. */
const rounded = (value: number): number => Math.round(value * 10) / 10 + 0;
const mean = (day: number): number => 9 - 15 * Math.cos((2 * Math.PI * (day - 15)) / 365) + 2 * Math.sin(day);
const days = (from: number, to: number): number[] => Array.from({ length: to - from }, (_, i) => from + i);

/** Days of the year from 1 January 2026 on, as columns. */
export const columns = (from: number, to: number) => ({
  startDate: dateOf(from),
  tempMaxC: days(from, to).map((day) => rounded(mean(day) + 6)),
  tempMinC: days(from, to).map((day) => rounded(mean(day) - 6)),
  rainMm: days(from, to).map((day) => (day % 6 === 0 ? 8 : 0)),
});

/** The same as a CSV file. */
export const csv = (from: number, to: number): string => {
  const { tempMaxC, tempMinC, rainMm } = columns(from, to);
  const rows = days(from, to).map((day, i) => [dateOf(day), tempMaxC[i], tempMinC[i], rainMm[i]].join(','));
  return ['date,tmax_c,tmin_c,rain_mm', ...rows].join('\n');
};

export const TODAY = '2026-05-12';
export const place = { latitudeDeg: 41.7, longitudeDeg: -93, elevationM: 280 };
export const soil = { texture: 'silt-loam' as const };
export const weeds = [
  { species: 'waterhemp', relativeDensity: 3 },
  { species: 'giant-foxtail', relativeDensity: 1 },
];

/** A closed ring around a place in the north of the farm. */
export const outline = {
  type: 'Polygon' as const,
  coordinates: [
    [
      [-93.01, 41.72],
      [-92.99, 41.72],
      [-92.99, 41.74],
      [-93.01, 41.74],
      [-93.01, 41.72],
    ],
  ] as [number, number][][],
};

/** A whole field, for those who keep their data elsewhere. */
export const wholeField = (name: string) => ({
  name,
  site: { ...place, timeZone: 'America/Chicago' },
  soil,
  weather: { ...columns(0, 150), forecastFrom: TODAY },
  today: TODAY,
  planting: { crop: 'soybean', date: '2026-05-05' },
  weeds,
  implements: [{ id: 'rotary-hoe' }],
});
