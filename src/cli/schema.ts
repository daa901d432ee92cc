import { z } from 'zod';

/** One row of the file of places for `score`. Cells are text; an empty elevation counts as not given. */
const cell = (low: number, high: number) => z.coerce.number().min(low).max(high);
export const stationSite = z.object({
  station: z.string().min(1),
  lat: cell(-90, 90),
  lon: cell(-180, 180),
  elev_m: cell(-430, 6000).optional(),
});
export type StationSite = Readonly<z.infer<typeof stationSite>>;
