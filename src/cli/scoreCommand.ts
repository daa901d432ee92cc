import { Command } from 'commander';
import type { TextureClass } from '../core/soil/schema.ts';
import { csvText } from '../report/csv.ts';
import {
  type FormatOptions,
  formatOf,
  formatOptions,
  jsonText,
  lengthM,
  listOf,
  monthDayArgument,
  numberBetween,
  textureArgument,
  wholeBetween,
} from './arguments.ts';
import { scoreAnswer, scoreRows, scoreText } from './format/scoreText.ts';
import type { Io } from './io.ts';
import { type ScoreRequest, scores } from './score.ts';

/** Living cover of mown grass over a soil probe, and of nothing. */
const coverWords: Readonly<Record<string, number>> = { grass: 0.85, bare: 0 };

const coverArgument = (text: string): number =>
  coverWords[text] ?? numberBetween(0, 1, `, ${Object.keys(coverWords).join(' or ')}`)(text);

type Options = FormatOptions & {
  readonly observed: string;
  readonly sites?: string;
  readonly lat?: number;
  readonly lon?: number;
  readonly elevation?: number;
  readonly texture: TextureClass;
  readonly cover: number;
  readonly measuredSun?: true;
  readonly from: string;
  readonly to: string;
  readonly years?: readonly number[];
};

const HELP = `
Tells how far the simulated soil is off your own thermometer. The file has columns date, tmax_c, tmin_c,
rain_mm (other units: tmax_f, rain_in) and any of soilT5_c, soilT10_c (daily means at 5 and 10 cm),
soilT5_max_c, soilT5_min_c, soilM5_m3m3, soilM10_m3m3. Several stations: a column station. Their places:
columns lat and lon, or a file given by --sites.
A bias of +1.0 means that the model is 1 C too warm.

Examples:
  $ whitethread score --observed garden.csv --lat 42.0 --lon -93.8 --cover bare
  $ whitethread score --observed stations.csv --sites places.csv --from 04-01 --to 07-15
  $ whitethread score --observed stations.csv --sites places.csv --years 2016,2017 --json > score.json`;

/** `whitethread score` */
export const scoreCommand = (io: Io): Command => {
  const command = new Command('score')
    .summary('score the soil model against your own soil thermometer')
    .description('Score the simulated soil temperature and moisture against a measured record.')
    .requiredOption('--observed <file>', 'CSV of daily weather with measured soil columns')
    .option('--sites <file>', 'CSV of places: station,lat,lon,elev_m')
    .option('--lat <degrees>', 'latitude, north is positive', numberBetween(-90, 90))
    .option('--lon <degrees>', 'longitude, east is positive', numberBetween(-180, 180))
    .option('--elevation <length>', 'above the sea, m unless you write ft (default: 200 m)', lengthM)
    .option('--texture <class>', 'texture class of the soil', textureArgument, 'silt-loam' as const)
    .option(
      '--cover <share>',
      'permanent cover over the probe in full growth: 0 to 1, grass (0.85) or bare',
      coverArgument,
      0.85,
    )
    .option('--measured-sun', 'use the radiation column as well; without it the sun follows from the temperatures')
    .option('--from <MM-DD>', 'first day scored', monthDayArgument, '04-01')
    .option('--to <MM-DD>', 'last day scored', monthDayArgument, '07-15')
    .option('--years <list>', 'years scored, such as 2016,2017 (default: all)', listOf(wholeBetween(1900, 2100)))
    .addHelpText('after', HELP);
  for (const option of formatOptions()) command.addOption(option);
  return command.action((options: Options) => {
    const { observed, sites, lat, lon, elevation, texture, cover, from, to, years } = options;
    const season = years === undefined ? { from, to } : { from, to, years };
    const measuredSun = options.measuredSun === true;
    const request: ScoreRequest = { observed, sites, lat, lon, elevation, texture, cover, measuredSun, season };
    const answer = scoreAnswer(scores(request), request);
    const format = formatOf(options);
    if (format === 'json') io.out(jsonText(answer));
    else io.out(format === 'csv' ? csvText(scoreRows(answer)) : scoreText(answer));
  });
};
