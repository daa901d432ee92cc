import { readFileSync, statSync } from 'node:fs';
import { whitethreadError } from '../core/base/errors.ts';
import type { ReadOptions, WeatherFile } from './contract.ts';
import { csvWeather } from './csv.ts';
import { dlyWeather, isDly } from './dly.ts';
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

const bytesOf = (path: string): Uint8Array => {
  try {
    assertSize(statSync(path).size);
    return readFileSync(path);
  } catch (error) {
    if (!(error instanceof Error && 'syscall' in error)) throw error;
    throw whitethreadError([
      {
        code: 'file-unreadable',
        where: path,
        given: error.message,
        allowed: 'a file that can be read',
        advice: 'Check the path and the right to read it',
      },
    ]);
  }
};

/** Reads a weather file from disk; see `weatherFiles`. @throws WhitethreadError also 'file-unreadable' */
export const readWeatherFile = (path: string, options: ReadOptions = {}): WeatherFile[] =>
  weatherFiles(bytesOf(path), options);
