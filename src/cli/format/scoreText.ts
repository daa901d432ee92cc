import { mean } from 'simple-statistics';
import { rounded } from '../../core/base/numbers.ts';
import { type Fit, medianOver, type ObservedColumn, observedColumns } from '../../core/soil/score.ts';
import { type Align, table, wrapped } from '../../report/table.ts';
import type { NamedScore, ScoreRequest } from '../score.ts';

type Measure = 'bias' | 'rmse' | 'unbiasedRmse' | 'rankCorrelation';
const measures: readonly Measure[] = ['bias', 'rmse', 'unbiasedRmse', 'rankCorrelation'];

/** Moisture moves in thousandths, temperature in hundredths of a degree. */
const digitsOf = (column: ObservedColumn): number => (column.endsWith('_c') ? 2 : 3);

type ScoreAnswer = {
  readonly season: ScoreRequest['season'];
  readonly texture: string;
  readonly coverFrac: number;
  readonly stations: readonly NamedScore[];
  /** By column: days of all stations together, the middle station's measures, and the mean of the stations' biases. */
  readonly median: Readonly<
    Partial<Record<ObservedColumn, { readonly n: number; readonly meanBias: number } & Record<Measure, number | null>>>
  >;
  /** Over all stations and years: the middle error, and the middle of its size. */
  readonly heatDates: readonly {
    readonly heatCd: number;
    readonly n: number;
    readonly medianErrorDays: number | null;
    readonly medianAbsoluteErrorDays: number | null;
  }[];
};

const fitsOf = (stations: readonly NamedScore[], column: ObservedColumn): Fit[] =>
  stations.flatMap(({ fits }) => fits[column] ?? []);

/** What the stations say one by one, and the middle of them. */
export const scoreAnswer = (stations: readonly NamedScore[], request: ScoreRequest): ScoreAnswer => {
  const dates = stations.flatMap(({ heatDates }) => heatDates);
  const sums = [...new Set(dates.map(({ heatCd }) => heatCd))];
  const median = observedColumns.flatMap((column) => {
    const fits = fitsOf(stations, column);
    if (fits.length === 0) return [];
    const middle = Object.fromEntries(measures.map((name) => [name, medianOver(fits.map((fit) => fit[name]))]));
    const n = fits.reduce((sum, fit) => sum + fit.n, 0);
    return [[column, { n, meanBias: mean(fits.map(({ bias }) => bias)), ...middle }]];
  });
  return {
    season: request.season,
    texture: request.texture,
    coverFrac: request.cover,
    stations,
    median: Object.fromEntries(median),
    heatDates: sums.map((heatCd) => {
      const errors = dates.flatMap((d) => (d.heatCd === heatCd && d.errorDays !== null ? d.errorDays : []));
      const medianAbsoluteErrorDays = medianOver(errors.map(Math.abs));
      return { heatCd, n: errors.length, medianErrorDays: medianOver(errors), medianAbsoluteErrorDays };
    }),
  };
};

const figure = (value: number | null | undefined, digits: number): string =>
  value === null || value === undefined ? '-' : rounded(value, digits).toFixed(digits);

const fitCells = (fit: { n: number } & Record<Measure, number | null>, column: ObservedColumn): string[] => [
  String(fit.n),
  ...measures.map((name) => figure(fit[name], name === 'rankCorrelation' ? 2 : digitsOf(column))),
];

const aligns: readonly Align[] = ['left', 'right', 'right', 'right', 'right', 'right'];

const columnTable = (answer: ScoreAnswer, column: ObservedColumn): string[] => {
  const middle = answer.median[column];
  if (middle === undefined) return [];
  const stations = answer.stations.flatMap(({ station, fits }) => {
    const fit = fits[column];
    return fit === undefined ? [] : [[station, ...fitCells(fit, column)]];
  });
  const rows = [
    [column, 'days', 'bias', 'RMSE', 'unbiased', 'rank r'],
    ...stations,
    ...(stations.length > 1 ? [['median of the stations', ...fitCells(middle, column)]] : []),
  ];
  const meanBias = `mean of the stations' biases ${figure(middle.meanBias, digitsOf(column))}`;
  return [[table(rows, aligns), ...(stations.length > 1 ? [meanBias] : [])].join('\n')];
};

const heatTable = (answer: ScoreAnswer): string[] => {
  if (answer.heatDates.length === 0) return [];
  const sums = answer.heatDates.map(({ heatCd }) => heatCd);
  const rows = answer.stations.flatMap(({ station, heatDates }) =>
    [...new Set(heatDates.map(({ year }) => year))].map((year) => [
      station,
      String(year),
      ...sums.map((sum) => figure(heatDates.find((d) => d.year === year && d.heatCd === sum)?.errorDays, 0)),
    ]),
  );
  const middle = (name: string, key: 'medianErrorDays' | 'medianAbsoluteErrorDays'): string[] => [
    name,
    '',
    ...answer.heatDates.map((date) => figure(date[key], 1)),
  ];
  const header = ['days late (+) to reach', 'year', ...sums.map((sum) => `${sum} C d`)];
  const middles = [middle('median', 'medianErrorDays'), middle('median of the size', 'medianAbsoluteErrorDays')];
  return [table([header, ...rows, ...middles], ['left', ...rows[0].slice(1).map((): Align => 'right')])];
};

/** The text shows so many remarks of a station; JSON has them all. */
const MOST_REMARKS = 3;

const remarkLines = ({ station, remarks }: NamedScore): string[] => {
  const more = remarks.length - MOST_REMARKS;
  const lines = remarks.toReversed().slice(0, MOST_REMARKS);
  return [...lines, ...(more > 0 ? [`${more} more; --json has all`] : [])].map((text) =>
    wrapped('  ', `${station}: ${text}`, 4),
  );
};

/** The score as text. */
export const scoreText = (answer: ScoreAnswer): string => {
  const { season, texture, coverFrac, stations } = answer;
  const years = season.years === undefined ? 'every year' : season.years.join(', ');
  const head = `Simulated less measured, ${season.from} to ${season.to} of ${years}. Texture ${texture}, cover ${coverFrac}. The whole series is simulated; only the season counts. Heat sums are soil degree-days above 9 C at 5 cm from the first day scored.`;
  const remarks = stations.flatMap(remarkLines);
  return [
    wrapped('', head, 0),
    ...observedColumns.flatMap((column) => columnTable(answer, column)),
    ...heatTable(answer),
    ...(remarks.length > 0 ? [['About the data', ...remarks].join('\n')] : []),
  ].join('\n\n');
};

/** One row for each station and column; stations share the season. */
export const scoreRows = ({ stations }: ScoreAnswer): Record<string, string | number | null>[] =>
  stations.flatMap(({ station, fits, heatDates }) => [
    ...observedColumns.flatMap((column) => {
      const fit = fits[column];
      return fit === undefined ? [] : [{ station, column, year: null, heatCd: null, ...fit, errorDays: null }];
    }),
    ...heatDates.map(({ year, heatCd, errorDays }) => ({
      station,
      column: 'soilT5_c',
      year,
      heatCd,
      n: null,
      bias: null,
      rmse: null,
      unbiasedRmse: null,
      rankCorrelation: null,
      errorDays,
    })),
  ]);
