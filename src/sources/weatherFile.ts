import { statSync } from 'node:fs';
import type { ReadOptions, WeatherFile } from './contract.ts';
import { csvWeather } from './csv.ts';
import { dlyWeather, isDly } from './dly.ts';
import { readBytes } from './file.ts';
import { jsonWeather } from './json.ts';
import { assertSize, textOf } from './text.ts';

/**
 * The weather of a file's bytes, a series for each station. What kind of file it is shows in its first characters: a brace
 * for JSON, the fixed columns of GHCN-Daily, else CSV.
 * @throws WhitethreadError with every problem that the reader found
 */
export const weatherFiles = (bytes: Uint8Array, options: ReadOptions = {}): WeatherFile[] => {
  const text = textOf(bytes);
  if (/^\s*[{[]/.test(text)) return jsonWeather(text);
  return isDly(text) ? dlyWeather(text) : csvWeather(text, options);
};

/** Reads a weather file from disk; see `weatherFiles`. @throws WhitethreadError also 'file-unreadable' */
export const readWeatherFile = (path: string, options: ReadOptions = {}): WeatherFile[] =>
  weatherFiles(
    readBytes(path, () => assertSize(statSync(path).size)),
    options,
  );
