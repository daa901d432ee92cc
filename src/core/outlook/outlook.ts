import { type DayNumber, dayNumber, isoDate } from '../base/day.ts';
import { whitethreadError } from '../base/errors.ts';
import { parsed } from '../base/schema.ts';
import { hemisphereMonthDay, latestOn } from '../base/season.ts';
import { airCover, cropDays, sharedCover } from '../crop/crop.ts';
import { soilDays } from '../soil/soil.ts';
import { soilConstants } from '../soil/texture.ts';
import type { WeatherDays } from '../weather/series.ts';
import { weatherDays } from '../weather/weather.ts';
import { weedDays } from '../weeds/weeds.ts';
import { bestPass } from '../windows/best.ts';
import { cautions } from '../windows/cautions.ts';
import type { WindowInput } from '../windows/input.ts';
import { passWindows, windowDays } from '../windows/windows.ts';
import { type CatalogueCore, type Chosen, chosen } from './catalogue.ts';
import { cropAnswer, stageOn } from './cropAnswer.ts';
import { emergenceAnswer, flushAnswer, type Shown, stockOn, weedYears } from './emergence.ts';
import { outlookNotes } from './notes.ts';
import { madePasses, soilPasses, weedPasses } from './passes.ts';
import { plantingsOf } from './plantings.ts';
import { type CropAnswer, type FieldInput, type FieldRequest, fieldRequest, type Outlook } from './schema.ts';
import { lastWeekTemp5C, soilAnswer } from './soilAnswer.ts';

/** A field day by day, as far as its windows stand on it: weather, soil, crop and weeds. */
const fieldDays = (field: FieldRequest, known: Chosen) => {
  const { site, soil: ground } = field;
  const today = dayNumber(field.today);
  const southern = site.latitudeDeg < 0;

  const { series: weather, findings } = weatherDays(field.weather, site, today);
  const shown = shownDays(field, weather, today, southern);
  const passes = madePasses(field, known);

  const covers = [
    ...known.sown.map(({ crop, planting, where }) => airCover(crop, planting, weather, southern, where)),
    ...known.gone.map(({ crop, planting, where, endedOn }) =>
      airCover(crop, planting, weather, southern, where).fill(0, Math.max(0, dayNumber(endedOn) - weather.startDay)),
    ),
  ];
  const shade = sharedCover(covers, weather.days);
  const soil = soilDays(weather, site, ground, shade, soilPasses(passes));
  const constants = soilConstants(ground);
  const crops = known.sown.map(({ crop, planting }) => ({
    crop,
    days: cropDays(crop, planting, soil, weather, southern),
  }));
  const kinds = known.species.map(({ species }) => species);
  const kills = weedPasses(passes, site, weather, soil, constants, ground.residueCoverFrac);
  const weeds = weedDays(soil, weather, kinds, kills, southern, today);
  return { weather, findings, shown, passes, soil, constants, crops, weeds };
};

/**
 * The whole chain for one field: weather, soil, weeds and crop, windows. The table of contents of the science.
 * Nothing is read or kept: the same input gives the same answer.
 * @param input one field and everything known about it; see `fieldRequest`
 * @param catalogue where names are looked up; `loadCatalogue()` for the one that ships
 * @throws WhitethreadError with every problem found
 */
export const outlook = (input: FieldInput, catalogue: CatalogueCore): Outlook => {
  const field = parsed(fieldRequest, input, '');
  const known = chosen(field, catalogue);
  const { weather, findings, shown, passes, soil, constants, crops, weeds } = fieldDays(field, known);
  const { today } = shown;
  const windowInput: WindowInput = {
    site: field.site,
    weather,
    soil,
    constants,
    residueCoverFrac: field.soil.residueCoverFrac,
    weeds,
    species: known.species,
    crops,
    implements: known.implements,
    passes,
    today,
    lastDay: today + field.horizonDays,
  };
  const days = windowDays(windowInput);
  const taken = new Set(passes.map(({ day }) => isoDate(day)));
  const years = weedYears(weeds, known, shown);
  const told = crops.map((crop) => cropAnswer(crop, shown));
  const isPlanted = field.planting !== undefined;

  return {
    name: field.name,
    today: field.today,
    notes: outlookNotes({ field, input: windowInput, findings, windows: days, passes }),
    soil: soilAnswer(soil, weather, constants, shown),
    emergence: emergenceAnswer(weeds, years, known, shown),
    flushes: flushAnswer(weeds, years, known, shown),
    crop: isPlanted ? told[0] : null,
    companions: told.slice(isPlanted ? 1 : 0),
    windows: passWindows(days, taken),
    best: bestPass(days.filter(({ date }) => !taken.has(date))),
    windowDays: days,
    cautions: cautions(known.implements),
    lastWeekTemp5C: lastWeekTemp5C(soil, shown),
  };
};

/** What stands in a field on a morning: the stage of each crop that day, and what lives of each weed before the day's passes. */
export type Morning = {
  readonly crops: readonly Pick<CropAnswer, 'crop' | 'stageToday'>[];
  readonly weeds: readonly Pick<Outlook['emergence'][number], 'species' | 'stock'>[];
};

/**
 * A field on several mornings of one season, from one run up to `input.today`. The model looks back, but for a pass, whose
 * kill the weather of the two days after it decides: a later run may tell those mornings anew.
 * @param dates days of the weather, none after `input.today`
 * @throws WhitethreadError with every problem found
 */
export const mornings = (input: FieldInput, dates: readonly string[], catalogue: CatalogueCore): Morning[] => {
  const field = parsed(fieldRequest, input, '');
  const { crops, weeds } = fieldDays(field, chosen(field, catalogue));
  return dates.map((date) => {
    const day = dayNumber(date);
    return {
      crops: crops.map((crop) => ({ crop: crop.crop.id, stageToday: stageOn(crop, day) })),
      weeds: weeds.species.map((one) => ({ species: one.speciesId, stock: stockOn(one, day - weeds.startDay) })),
    };
  });
};

/** From the start of the weed year, or from planting if that was earlier, to the end of the weather. */
const shownDays = (field: FieldRequest, weather: WeatherDays, today: DayNumber, southern: boolean): Shown => {
  const to = weather.startDay + weather.days - 1;
  if (today < weather.startDay || today > to)
    throw whitethreadError([
      {
        code: 'weather-too-short',
        where: 'today',
        given: field.today,
        allowed: `a day of the weather, ${isoDate(weather.startDay)} to ${isoDate(to)}`,
        advice: 'Give weather up to today and the forecast after it',
      },
    ]);
  const yearStart = latestOn(hemisphereMonthDay('01-01', southern), today);
  const planted = plantingsOf(field).map(({ planting }) => dayNumber(planting.date));
  const from = Math.max(weather.startDay, Math.min(yearStart, ...planted));
  return { from, to, today, latitudeDeg: field.site.latitudeDeg };
};
