export { type Catalogue, loadCatalogue } from './catalogue/load.ts';
export type { Reference, Sourced } from './catalogue/schema.ts';
export { type DayNumber, dayNumber, isoDate } from './core/base/day.ts';
export type { ErrorCode, Problem, WhitethreadError } from './core/base/errors.ts';
export { isWhitethreadError } from './core/base/errors.ts';
export { airCover, cropDays, sharedCover } from './core/crop/crop.ts';
export type { CropDays } from './core/crop/days.ts';
export { type Crop, crop, type Planting, planting } from './core/crop/schema.ts';
export type { CatalogueCore } from './core/outlook/catalogue.ts';
export { outlook } from './core/outlook/outlook.ts';
export { type FieldInput, fieldRequest, type Outlook, outlook as outlookSchema } from './core/outlook/schema.ts';
export type { SoilDays, SoilPass } from './core/soil/days.ts';
export type { SoilParameters } from './core/soil/parameters.ts';
export { type Soil, soil } from './core/soil/schema.ts';
export {
  type Fit,
  type HeatDateError,
  type Observed,
  type ObservedColumn,
  type ScoredSeason,
  type StationScore,
  stationScore,
} from './core/soil/score.ts';
export { sodCoverFrac } from './core/soil/sod.ts';
export { soilDays } from './core/soil/soil.ts';
export { type SoilConstants, soilConstants } from './core/soil/texture.ts';
export { clampedHeat, meanHeat, sineHeat, triangleHeat } from './core/weather/degreedays.ts';
export { type FindingCode, findingSentence, type WeatherFinding } from './core/weather/finding.ts';
export { type DailyWeather, dailyWeather, type Site, site } from './core/weather/schema.ts';
export type { WeatherDays } from './core/weather/series.ts';
export { weatherDays } from './core/weather/weather.ts';
export type { PassConditions, SpeciesDays, WeedDays, WeedPass } from './core/weeds/days.ts';
export { type FlushDays, flushes } from './core/weeds/flushes.ts';
export { type KillProfile, type Species, species } from './core/weeds/schema.ts';
export { weedDays } from './core/weeds/weeds.ts';
export { type WeedYear, weedYear } from './core/weeds/weedYear.ts';
export { type BestPass, bestPass } from './core/windows/best.ts';
export { rateHaPerH } from './core/windows/capacity.ts';
export { passConditions } from './core/windows/conditions.ts';
export { dryingOn } from './core/windows/drying.ts';
export type { FieldCrop, ImplementPass, WindowInput } from './core/windows/input.ts';
export { type Implement, implement, type PassWindow, type WindowDay } from './core/windows/schema.ts';
export type { WeightedSpecies } from './core/windows/weedReach.ts';
export { passWindows, windowDays } from './core/windows/windows.ts';
export { shallowToolWorkable } from './core/windows/workability.ts';
