import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { dayNumber, isoDate } from '../../src/core/base/day.ts';
import { scratchFolder } from './folder.ts';

/** Writes files into a new folder of the system's temporary directory and gives the folder; gone when the tests end. */
export const folderWith = (files: Readonly<Record<string, string>>): string => {
  const folder = scratchFolder();
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
  return folder;
};

/** Invented daily weather: a warming spring from 1 January 2026, 8 mm of rain every sixth day. */
export const springRows = (days: number): { date: string; max: number; min: number; rain: number }[] =>
  Array.from({ length: days }, (_, i) => {
    const mean = 9 - 15 * Math.cos((2 * Math.PI * (i - 15)) / 365) + 2 * Math.sin(i);
    return {
      date: isoDate(dayNumber('2026-01-01') + i),
      max: Math.round(10 * (mean + 6)) / 10,
      min: Math.round(10 * (mean - 6)) / 10,
      rain: i % 6 === 0 ? 8 : 0,
    };
  });

export const springCsv = (days: number): string =>
  ['date,tmax_c,tmin_c,rain_mm', ...springRows(days).map((r) => `${r.date},${r.max},${r.min},${r.rain}`)].join('\n');
