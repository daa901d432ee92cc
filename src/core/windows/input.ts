import type { DayNumber } from '../base/day.ts';
import type { CropDays } from '../crop/days.ts';
import type { Crop } from '../crop/schema.ts';
import type { SoilDays } from '../soil/days.ts';
import type { SoilConstants } from '../soil/texture.ts';
import type { Site } from '../weather/schema.ts';
import type { WeatherDays } from '../weather/series.ts';
import type { WeedDays } from '../weeds/days.ts';
import type { Implement } from './schema.ts';
import type { WeightedSpecies } from './weedReach.ts';

/** A pass that was made or is planned, by its implement. */
export type ImplementPass = {
  readonly implement: Pick<Implement, 'id' | 'loosensGroundFrac'>;
  readonly day: DayNumber;
};

/** A crop of a field and its days. */
export type FieldCrop = { readonly crop: Crop; readonly days: CropDays };

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
  /** All that are sown or planned, whose stand each window must spare; none before there is one. */
  readonly crops: readonly FieldCrop[];
  readonly implements: readonly Implement[];
  readonly passes: readonly ImplementPass[];
  readonly today: DayNumber;
  readonly lastDay: DayNumber;
};
