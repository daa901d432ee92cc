import type { DayNumber } from '../base/day.ts';
import type { SoilDays } from '../soil/days.ts';
import type { SoilConstants } from '../soil/texture.ts';
import type { Site } from '../weather/schema.ts';
import type { WeatherDays } from '../weather/series.ts';
import type { WeedDays } from '../weeds/days.ts';
import type { FieldCrop } from './cropTolerance.ts';
import type { Implement } from './schema.ts';
import type { WeightedSpecies } from './weedReach.ts';

/** A pass that was made or is planned, by its implement. */
export type ImplementPass = {
  readonly implement: Pick<Implement, 'id' | 'loosensGroundFrac'>;
  readonly day: DayNumber;
};

/** Everything that decides when a pass can be made. Weather, soil, weeds and crop are series of the same days. */
export type WindowInput = {
  readonly site: Site;
  readonly weather: WeatherDays;
  readonly soil: SoilDays;
  readonly constants: SoilConstants;
  readonly residueCoverFrac: number;
  readonly weeds: WeedDays;
  /** In the order of `weeds.species`. */
  readonly species: readonly WeightedSpecies[];
  readonly crop: FieldCrop;
  readonly implements: readonly Implement[];
  readonly passes: readonly ImplementPass[];
  readonly today: DayNumber;
  readonly lastDay: DayNumber;
};
