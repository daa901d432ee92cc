import { liveSourceSuite } from '../../contract/liveSource.ts';
import type { gridBody, NceiRow, openMeteoBody, powerBody } from '../../support/weatherShapes.ts';

type Grid = ReturnType<typeof gridBody>;
type OpenMeteo = ReturnType<typeof openMeteoBody>;
type Power = ReturnType<typeof powerBody>;

const toF = (c: number | null) => (c === null ? null : (c * 9) / 5 + 32);
const toInch = (mm: number | null) => (mm === null ? null : mm / 25.4);
const later = (date: string) => `20${Number(date.slice(2, 4)) - 10}${date.slice(4)}`;
const mapped = <T, U>(record: Record<string, T>, change: (value: T, key: string) => U) =>
  Object.fromEntries(Object.entries(record).map(([key, value]) => [key, change(value, key)]));

const grid = (change: (properties: Grid['properties']) => object) => (body: Grid) => ({
  ...body,
  properties: { ...body.properties, ...change(body.properties) },
});
type Layer = { readonly uom: string; readonly values: readonly { validTime: string; value: number | null }[] };
const layer = ({ uom, values }: Layer, change: (value: number | null, i: number) => number | null, unit = uom) => ({
  uom: unit,
  values: values.map(({ validTime, value }, i) => ({ validTime, value: change(value, i) })),
});

liveSourceSuite({
  id: 'us-grid',
  days: [0, 6],
  faults: {
    usUnits: grid(({ maxTemperature, minTemperature, quantitativePrecipitation }) => ({
      maxTemperature: layer(maxTemperature, toF, 'wmoUnit:degF'),
      minTemperature: layer(minTemperature, toF, 'wmoUnit:degF'),
      quantitativePrecipitation: layer(quantitativePrecipitation, toInch, 'wmoUnit:in'),
    })),
    unknownUnit: grid(({ maxTemperature }) => ({ maxTemperature: layer(maxTemperature, (v) => v, 'wmoUnit:K') })),
    negativeRain: grid(({ quantitativePrecipitation }) => ({
      quantitativePrecipitation: layer(quantitativePrecipitation, () => -1),
    })),
    enormous: grid(({ maxTemperature }) => ({ maxTemperature: layer(maxTemperature, () => 1e308) })),
    otherDates: grid(({ updateTime }) => ({ updateTime: later(updateTime) })),
    noTemperatures: grid(({ maxTemperature, minTemperature }) => ({
      maxTemperature: layer(maxTemperature, () => null),
      minTemperature: layer(minTemperature, () => null),
    })),
    rainGap: grid(({ quantitativePrecipitation }) => ({
      quantitativePrecipitation: layer(quantitativePrecipitation, (value, i) => (i === 9 ? null : value)),
    })),
  },
});

/** @param third index of the third day that the suite asks for */
const openMeteoFaults = (third: number) => {
  const daily = (change: (daily: OpenMeteo['daily']) => object) => (body: OpenMeteo) => ({
    ...body,
    daily: { ...body.daily, ...change(body.daily) },
  });
  return {
    usUnits: (body: OpenMeteo) => ({
      ...daily(({ temperature_2m_max: max, temperature_2m_min: min, precipitation_sum: rain }) => ({
        temperature_2m_max: max.map(toF),
        temperature_2m_min: min.map(toF),
        precipitation_sum: rain.map(toInch),
      }))(body),
      daily_units: {
        ...body.daily_units,
        temperature_2m_max: '°F',
        temperature_2m_min: '°F',
        precipitation_sum: 'inch',
      },
    }),
    unknownUnit: (body: OpenMeteo) => ({ ...body, daily_units: { ...body.daily_units, temperature_2m_max: 'K' } }),
    negativeRain: daily(({ precipitation_sum: rain }) => ({ precipitation_sum: rain.map(() => -0.1) })),
    enormous: daily(({ temperature_2m_min: min }) => ({ temperature_2m_min: [...min.slice(1), 1e308] })),
    otherDates: daily(({ time }) => ({ time: time.map(later) })),
    noTemperatures: daily(({ time }) => ({
      temperature_2m_max: time.map(() => null),
      temperature_2m_min: time.map(() => null),
    })),
    rainGap: daily(({ precipitation_sum: rain }) => ({
      precipitation_sum: rain.map((value, i) => (i === third ? null : value)),
    })),
  };
};

liveSourceSuite({ id: 'global', days: [-10, 10], faults: openMeteoFaults(92 - 10 + 2) });
liveSourceSuite({ id: 'archive', days: [-40, -6], faults: openMeteoFaults(2) });

const power = (change: (parameter: Power['properties']['parameter']) => object) => (body: Power) => ({
  ...body,
  properties: { parameter: { ...body.properties.parameter, ...change(body.properties.parameter) } },
});

liveSourceSuite({
  id: 'power',
  days: [-40, -6],
  faults: {
    usUnits: (body: Power) => ({
      ...power(({ T2M_MAX, T2M_MIN, PRECTOTCORR }) => ({
        T2M_MAX: mapped(T2M_MAX, toF),
        T2M_MIN: mapped(T2M_MIN, toF),
        PRECTOTCORR: mapped(PRECTOTCORR, toInch),
      }))(body),
      parameters: {
        ...body.parameters,
        T2M_MAX: { units: 'F' },
        T2M_MIN: { units: 'F' },
        PRECTOTCORR: { units: 'in/day' },
      },
    }),
    unknownUnit: (body: Power) => ({ ...body, parameters: { ...body.parameters, PRECTOTCORR: { units: 'kg' } } }),
    negativeRain: power(({ PRECTOTCORR }) => ({ PRECTOTCORR: mapped(PRECTOTCORR, () => -1) })),
    enormous: power(({ T2M_MAX }) => ({ T2M_MAX: mapped(T2M_MAX, () => 1e308) })),
    otherDates: power(({ T2M_MAX }) => ({
      T2M_MAX: Object.fromEntries(Object.entries(T2M_MAX).map(([date, value]) => [later(date), value])),
    })),
    noTemperatures: power(({ T2M_MAX, T2M_MIN }) => ({
      T2M_MAX: mapped(T2M_MAX, () => -999),
      T2M_MIN: mapped(T2M_MIN, () => -999),
    })),
    rainGap: power(({ PRECTOTCORR }) => ({
      PRECTOTCORR: mapped(PRECTOTCORR, (value, date) => (date === Object.keys(PRECTOTCORR)[2] ? -999 : value)),
    })),
  },
});

const rows = (change: (row: NceiRow, i: number) => NceiRow) => (body: NceiRow[]) => body.map(change);

liveSourceSuite({
  id: 'ncei',
  station: 'USC00130200',
  days: [-40, -6],
  faults: {
    usUnits: null,
    unknownUnit: null,
    negativeRain: rows((row) => ({ ...row, PRCP: '-0.1' })),
    enormous: rows((row) => ({ ...row, TMAX: `1${'0'.repeat(308)}` })),
    otherDates: rows((row) => ({ ...row, DATE: later(row.DATE as string) })),
    noTemperatures: rows(({ TMAX, TMIN, ...row }) => row),
    rainGap: rows(({ PRCP, ...row }, i) => (i === 2 ? row : { ...row, PRCP: PRCP as string })),
  },
});
