import { type DayNumber, dayNumber, isoDate } from '../base/day.ts';
import { rounded } from '../base/numbers.ts';
import { firstOn, hemisphereMonthDay, latestOn } from '../base/season.ts';
import { findingSentence, type WeatherFinding } from '../weather/finding.ts';
import type { WeatherDays } from '../weather/series.ts';
import type { WeedDays } from '../weeds/days.ts';
import { countedFrom } from '../weeds/weedYear.ts';
import type { FieldCrop, WindowInput } from '../windows/input.ts';
import { standLostBefore } from '../windows/passHistory.ts';
import type { WindowDay } from '../windows/schema.ts';
import { harmWeights, type WeightedSpecies } from '../windows/weedReach.ts';
import { SEEDBED_IMPLEMENT } from './catalogue.ts';
import type { MadePass } from './passes.ts';
import { passesAhead, passesBefore, passToday } from './passNotes.ts';
import { clockFarFromSun, mildWinter, outsideEvidence } from './placeNotes.ts';
import { plantingsOf } from './plantings.ts';
import { restNote } from './restNote.ts';
import type { FieldRequest, Outlook } from './schema.ts';
import { oddDepth, oddPassDepth, oddRow, twicePasses } from './slipNotes.ts';
import { beginsWet, classAndMeasured } from './soilNotes.ts';
import { sowingNote } from './sowingNote.ts';
import { windUnknown } from './windNotes.ts';

type Note = Outlook['notes'][number];

/** Rain in the next three days that washes loosened soil off a slope, and the slope. Default: no numeric limit was found. */
const WASHING_RAIN_MM = 25;
const STEEP_FRAC = 0.06;

/** Share of the year's seedlings standing at sowing that is worth a word, and how long before it a pass made the seedbed. Defaults of judgement. */
const WEEDY_FRAC = 0.05;
const SEEDBED_DAYS = 21;

/** So many days of March without heat move no date by a day. */
const HARMLESS_DAYS = 7;

const lateStart = (
  species: readonly WeightedSpecies[],
  startDay: DayNumber,
  today: DayNumber,
  southern: boolean,
): Note[] => {
  const late = species
    .map(({ species: kind }) => kind)
    .filter((kind) => {
      // Within the year that is counted: before its first heat last year's start says nothing of this one.
      const yearFrom = latestOn(hemisphereMonthDay(countedFrom(kind), southern), today);
      const began = (monthDay: string) => firstOn(hemisphereMonthDay(monthDay, southern), yearFrom);
      return kind.germination.components.some(({ start }) => startDay > began(start) + HARMLESS_DAYS);
    });
  if (late.length === 0) return [];
  const names = late.map(({ id }) => id).join(', ');
  return [
    {
      code: 'weather-starts-late',
      text: `The weather begins on ${isoDate(startDay)}, after the first heat that these species count: ${names}. Dates of theirs come out too late or are missing, and what came up before is counted as up only where it was months ago. Give weather from before they start.`,
    },
  ];
};

const erosion = (field: FieldRequest, weather: WeatherDays, today: DayNumber): Note[] => {
  const first = Math.max(0, today - weather.startDay);
  const rain = weather.rainMm.subarray(first, first + 3).reduce((a, b) => a + b, 0);
  if (field.soil.slopeFrac <= STEEP_FRAC || rain < WASHING_RAIN_MM) return [];
  return [
    {
      code: 'erosion-risk',
      text: `${Math.round(rain)} mm (${rounded(rain / 25.4, 1)} in) of rain within three days on a ${Math.round(field.soil.slopeFrac * 100)} % slope: loosened soil may wash. Leave it rough, work across the slope, or wait.`,
    },
  ];
};

/** A pass on that day or shortly before made the seedbed. */
const hasSeedbed = ({ passes, seedbedDates }: FieldRequest, sown: DayNumber): boolean =>
  [...seedbedDates, ...passes.map(({ date }) => date)]
    .map(dayNumber)
    .some((day) => day <= sown && day > sown - SEEDBED_DAYS);

/** Weeds that stand in the crop from its first day on, as no pass before it is named, or those that are left them. */
const weedySowing = (
  field: FieldRequest,
  weeds: WeedDays,
  species: readonly WeightedSpecies[],
  today: DayNumber,
): Note[] => {
  const [first] = plantingsOf(field).toSorted((a, b) => (a.planting.date < b.planting.date ? -1 : 1));
  if (first === undefined) return [];
  const { crop, date } = first.planting;
  const sown = dayNumber(date);
  const isWorked = hasSeedbed(field, sown);
  // What a pass of the same day leaves is known on the next morning.
  const index = sown - weeds.startDay + (isWorked ? 1 : 0);
  if (index < 0 || index >= weeds.days || sown > today) return [];
  const weights = harmWeights(species);
  const upFrac = ({ stockFrac: [, ...up] }: WeedDays['species'][number]) =>
    up.reduce((sum, days) => sum + days[index], 0);
  const standing = weeds.species.reduce((sum, one, k) => sum + weights[k] * upFrac(one), 0);
  if (standing < WEEDY_FRAC) return [];
  const percent = `${Math.round(100 * standing)} % of the year's seedlings, by their harm,`;
  const text = isWorked
    ? `The passes in the ${SEEDBED_DAYS} days before ${crop} was sown on ${date} are taken to have left ${percent} standing, until a pass or frost kills them: in wet ground or before rain weeds grow on. Look before the next pass.`
    : `No pass in the ${SEEDBED_DAYS} days before ${crop} was sown on ${date} is named: ${percent} are taken to have stood then, and to stand until a pass or frost kills them. Name the seedbed passes that were made.`;
  return [{ code: 'sown-into-weeds', text }];
};

/** A cultivation over the whole width takes out what was sown: one of the two dates is wrong, or a planting is missing. */
const seedbedInCrop = (field: FieldRequest): Note[] => {
  const { passes, seedbedDates } = field;
  const made = [...seedbedDates, ...passes.filter((p) => p.implement === SEEDBED_IMPLEMENT).map(({ date }) => date)];
  return plantingsOf(field).flatMap(({ planting }) => {
    const late = made.filter((date) => date > planting.date).toSorted();
    if (late.length === 0) return [];
    return {
      code: 'seedbed-in-crop',
      text: `A seedbed cultivation is named on ${late.join(', ')}, after ${planting.crop} was sown on ${planting.date}: over the whole width it takes out what was sown, which is not counted here. Correct the date, or name what was sown after it.`,
    };
  });
};

/** Rain after the last day of the weather is not known: of the second day after a pass it counts as none. */
const weatherEnds = (weather: WeatherDays, lastAsked: DayNumber): Note[] => {
  const end = weather.startDay + weather.days - 1;
  if (lastAsked < end) return [];
  return [
    {
      code: 'weather-ends',
      text: `The weather of this answer ends on ${isoDate(end)}. What rains after it is not known: a tool that needs the next day dry is closed on that day, and a pass of the last two days is told to kill as if it stayed dry.`,
    },
  ];
};

/** Less than this share of the stand is not worth a word. Default of judgement. */
const TOLD_LOSS_FRAC = 0.005;

/** What the passes before today are taken to have cost a crop. */
const standLost = (input: WindowInput, field: FieldCrop): Note[] => {
  const lostFrac = standLostBefore(input, field, input.today - input.weather.startDay);
  if (lostFrac < TOLD_LOSS_FRAC) return [];
  const { crop } = field;
  const points = (frac: number) => rounded(100 * frac, 1);
  return [
    {
      code: 'stand-lost',
      text: `The passes in this ${crop.id.replaceAll('-', ' ')} before today are taken to have cost ${points(lostFrac)} % of the stand; ${points(crop.forgivenStandLossFrac)} % over the season costs no yield. Count plants before you go by it.`,
    },
  ];
};

/** What notes are about: what was asked, what was found in the weather, and what came out. */
type Noted = {
  readonly field: FieldRequest;
  readonly input: WindowInput;
  readonly findings: readonly WeatherFinding[];
  readonly windows: readonly WindowDay[];
  readonly passes: readonly MadePass[];
};

/** What the reader should know before trusting the rest. */
export const outlookNotes = ({ field, input, findings, windows, passes }: Noted): Note[] => {
  const { weather, weeds, species, today, crops } = input;
  return [
    ...findings.map((finding) => ({ code: `weather-${finding.code}`, text: findingSentence(finding) })),
    ...lateStart(species, weather.startDay, today, field.site.latitudeDeg < 0),
    ...clockFarFromSun(field.site, today),
    ...outsideEvidence(field.site.latitudeDeg),
    ...mildWinter(weather, field.site.latitudeDeg),
    ...classAndMeasured(field.soil, input.constants),
    ...beginsWet(weather.startDay, today, field.site.latitudeDeg < 0),
    ...erosion(field, weather, today),
    ...weedySowing(field, weeds, species, today),
    ...seedbedInCrop(field),
    ...crops.flatMap(oddDepth),
    ...crops.flatMap(restNote),
    ...crops.flatMap((crop) => sowingNote(crop, windows)),
    ...crops.flatMap(oddRow),
    ...weatherEnds(weather, input.lastDay),
    ...passToday(field),
    ...passesBefore(field, weather.startDay),
    ...passesAhead(field, weather, today),
    ...crops.flatMap((crop) => standLost(input, crop)),
    ...windUnknown(input, windows),
    ...oddPassDepth(passes),
    ...twicePasses(passes),
  ];
};
