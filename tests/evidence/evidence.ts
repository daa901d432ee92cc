import { existsSync, readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, it } from 'vitest';
import type { Site } from '../../src/core/weather/schema.ts';
import { weatherDays } from '../../src/core/weather/weather.ts';
import type { WeatherFile } from '../../src/sources/contract.ts';
import { readWeatherFile } from '../../src/sources/weatherFile.ts';

/** Observed data that does not come with the project. */
const folder = resolve(process.env.WHITETHREAD_EVIDENCE ?? '../shared', 'data');

const pathOf = (file: string): string => resolve(folder, file);

/** A suite that needs files of the evidence; where they are missing, one line says so and it is left out. */
export const describeWith = (files: readonly string[], title: string, suite: () => void): void => {
  const missing = files.filter((file) => !existsSync(pathOf(file)));
  if (missing.length === 0) return void describe(title, suite);
  // The body of a suite that is left out would still run and read the missing file.
  console.log(`Skipped "${title}": no ${missing.join(', ')}. Set WHITETHREAD_EVIDENCE to the folder above data.`);
  describe.skipIf(true)(title, () => it('needs the evidence', () => {}));
};

/** The stations of a file of the evidence. */
export const stationsOf = (file: string): WeatherFile[] => readWeatherFile(pathOf(file));

/** Rows of a file of the evidence, as text by column. */
export const rowsOf = (file: string): Record<string, string>[] => {
  const [head, ...lines] = readFileSync(pathOf(file), 'utf8').trim().split(/\r?\n/);
  const names = (head as string).split(',');
  return lines.map((line) => Object.fromEntries(line.split(',').map((cell, i) => [names[i], cell])));
};

export const amesFile = 'ames-ia-1988-2018.csv';
export const amesSite: Site = { latitudeDeg: 42, longitudeDeg: -93.8, elevationM: 300, timeZone: 'America/Chicago' };

/** Daily weather of Ames in Iowa, 1988 to 2018, as sent and as a gapless series. */
export const ames = () => {
  const [station] = stationsOf(amesFile);
  const { weather } = station as WeatherFile;
  return { weather, series: weatherDays(weather, amesSite).series };
};
