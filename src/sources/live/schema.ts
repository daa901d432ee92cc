import { z } from 'zod';
import { allowedText } from '../../core/base/allowed.ts';
import { malformed } from './failure.ts';

/**
 * The shapes of the services' replies, as far as they are used; what else they send is left unread. Numbers are checked
 * against physical limits later, where a day is whole.
 */
const MOST_DAYS = 60 * 366;
const values = () => z.array(z.number().nullable()).max(MOST_DAYS);
const unit = () => z.string().max(40);

/** api.weather.gov, /points: the cell that a place lies in. Only these go into the next address. */
export const gridCell = z.object({
  properties: z.object({
    gridId: z.string().regex(/^[A-Z]{3}$/),
    gridX: z.int().min(0).max(9999),
    gridY: z.int().min(0).max(9999),
  }),
});

/** A layer that the office did not fill has no unit. */
const layer = z.object({
  uom: unit().optional(),
  values: z.array(z.object({ validTime: z.string().max(80), value: z.number().nullable() })).max(2000),
});
export type GridLayer = z.infer<typeof layer>;

/** api.weather.gov, /gridpoints. Without the two temperatures there is no day to tell of. */
export const gridForecast = z.object({
  properties: z.object({
    updateTime: z.iso.datetime({ offset: true }),
    maxTemperature: layer,
    minTemperature: layer,
    quantitativePrecipitation: layer.optional(),
    relativeHumidity: layer.optional(),
    windSpeed: layer.optional(),
  }),
});

/** Open-Meteo, forecast and archive, with the daily variables that we ask for. */
export const openMeteoDaily = z.object({
  latitude: z.number(),
  longitude: z.number(),
  daily_units: z.object({
    temperature_2m_max: unit(),
    temperature_2m_min: unit(),
    precipitation_sum: unit(),
    shortwave_radiation_sum: unit().optional(),
  }),
  daily: z.object({
    time: z.array(z.iso.date()).min(1).max(MOST_DAYS),
    temperature_2m_max: values(),
    temperature_2m_min: values(),
    precipitation_sum: values(),
    shortwave_radiation_sum: values().optional(),
  }),
});

/** By date, YYYYMMDD; the dates are compared with those asked for. */
const powerDays = z.record(z.string(), z.number());
const powerUnit = z.object({ units: unit() });
/** NASA POWER, daily, point. */
export const powerDaily = z.object({
  geometry: z.object({ coordinates: z.array(z.number()).min(2).max(3) }),
  header: z.object({ fill_value: z.number() }),
  parameters: z.object({
    T2M_MAX: powerUnit,
    T2M_MIN: powerUnit,
    PRECTOTCORR: powerUnit,
    ALLSKY_SFC_SW_DWN: powerUnit.optional(),
  }),
  properties: z.object({
    parameter: z.object({
      T2M_MAX: powerDays,
      T2M_MIN: powerDays,
      PRECTOTCORR: powerDays,
      ALLSKY_SFC_SW_DWN: powerDays.optional(),
    }),
  }),
});

const numberText = z.string().regex(/^\s*(-?\d+(\.\d+)?)?\s*$/, { error: 'a number as text' });
const flags = z.string().max(40);
/** NCEI Access Data Service, daily-summaries: a flat object a day, an absent key where nothing was measured. */
export const nceiDaily = z
  .array(
    z.object({
      STATION: z.string(),
      DATE: z.iso.date(),
      TMAX: numberText.optional(),
      TMIN: numberText.optional(),
      PRCP: numberText.optional(),
      TMAX_ATTRIBUTES: flags.optional(),
      TMIN_ATTRIBUTES: flags.optional(),
      PRCP_ATTRIBUTES: flags.optional(),
    }),
  )
  .max(MOST_DAYS);

/**
 * A reply as its shape.
 * @throws Failure 'source-malformed' with the first thing that does not fit
 */
export const replyAs = <T extends z.ZodType>(schema: T, body: unknown, id: string): z.output<T> => {
  const result = schema.safeParse(body, { error: allowedText });
  if (result.success) return result.data;
  const issue = result.error.issues[0];
  throw malformed(
    id,
    issue?.path.map(String).join('.') ?? '',
    'another shape',
    issue?.message ?? 'the documented shape',
  );
};
