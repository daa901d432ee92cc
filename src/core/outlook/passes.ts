import { type DayNumber, dayNumber } from '../base/day.ts';
import type { SoilDays, SoilPass } from '../soil/days.ts';
import type { SoilConstants } from '../soil/texture.ts';
import type { Site } from '../weather/schema.ts';
import type { WeatherDays } from '../weather/series.ts';
import type { WeedPass } from '../weeds/days.ts';
import { passConditions } from '../windows/conditions.ts';
import { dryingOn } from '../windows/drying.ts';
import type { Implement } from '../windows/schema.ts';
import { type Chosen, SEEDBED_IMPLEMENT } from './catalogue.ts';
import type { FieldRequest } from './schema.ts';

/** A pass of the request with its implement looked up, seedbed passes among them. */
export type MadePass = { readonly day: DayNumber; readonly implement: Implement; readonly depthCm: number };

/** All passes of a request, each as deep as was said, else as deep as the implement usually works. */
export const madePasses = (field: FieldRequest, { known }: Chosen): MadePass[] =>
  [
    ...field.passes,
    ...field.seedbedDates.map((date) => ({ date, implement: SEEDBED_IMPLEMENT, depthCm: undefined })),
  ].map(({ date, implement: id, depthCm }) => {
    const implement = known.get(id) as Implement;
    return { day: dayNumber(date), implement, depthCm: depthCm ?? implement.workingDepthCm.usual };
  });

/** What the passes do to the soil. */
export const soilPasses = (passes: readonly MadePass[]): SoilPass[] =>
  passes.map(({ day, implement, depthCm }) => ({ day, depthCm, groundFrac: implement.loosensGroundFrac }));

/** What they do to the weeds, under the soil and weather they met. Passes outside the series are left out. */
export const weedPasses = (
  passes: readonly MadePass[],
  site: Site,
  weather: WeatherDays,
  soil: SoilDays,
  constants: SoilConstants,
  residueCoverFrac: number,
): WeedPass[] =>
  passes
    .filter(({ day }) => day >= weather.startDay && day < weather.startDay + weather.days)
    .map(({ day, implement }) => {
      const index = day - weather.startDay;
      const drying = dryingOn(site, weather, index);
      return {
        day,
        kill: implement.kill,
        conditions: passConditions(weather, soil, constants, residueCoverFrac, index, drying),
        stirsGroundFrac: implement.loosensGroundFrac,
      };
    });
