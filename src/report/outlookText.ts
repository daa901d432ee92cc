import { dayNumber, isoDate } from '../core/base/day.ts';
import { rounded } from '../core/base/numbers.ts';
import type { CropAnswer } from '../core/outlook/schema.ts';
import type { Farm } from '../service/farm.ts';
import type { ShownOutlook } from '../service/schema.ts';
import { bandText, dateText, spanText, weekdayText } from './dates.ts';
import { cropText, listText, shareText } from './fieldText.ts';
import { legend } from './legend.ts';
import { type Align, table, wrapped } from './table.ts';
import { headText } from './tomorrowText.ts';
import { depthText, littlePercent, percent, shown, type Units } from './units.ts';
import { bestLine, windowsText } from './windowsText.ts';
import { words } from './words.ts';

/** Days before today that the soil table shows. */
const SOIL_DAYS_BACK = 3;

const dateOf = (outlook: ShownOutlook, i: number): string => isoDate(dayNumber(outlook.soil.startDate) + i);

const soilTable = (outlook: ShownOutlook, units: Units): string => {
  const { soil } = outlook;
  const today = dayNumber(outlook.today) - dayNumber(soil.startDate);
  const dates = outlook.windowDays.map(({ date }) => dayNumber(date) - dayNumber(soil.startDate));
  const from = Math.max(0, today - SOIL_DAYS_BACK);
  const to = Math.min(soil.temp5MeanC.length - 1, Math.max(today, ...dates));
  const at = (column: readonly number[], i: number, unit: string): string => shown(column[i] ?? 0, unit, units);
  const rows = Array.from({ length: to - from + 1 }, (_, k) => k + from).map((i) => [
    `  ${weekdayText(dateOf(outlook, i))}`,
    at(soil.temp5MeanC, i, 'C'),
    `${at(soil.temp5MinC, i, 'C')} to ${at(soil.temp5MaxC, i, 'C')}`,
    rounded(soil.surfaceWaterM3PerM3[i] ?? 0, 2).toFixed(2),
    rounded(soil.seedbedWaterM3PerM3[i] ?? 0, 2).toFixed(2),
    words(soil.unworkableBy[i] ?? 'yes'),
    soil.crusted[i] ? 'crust' : '',
    soil.weatherOrigin[i] ?? '',
  ]);
  const head = [
    '',
    depthText('at 5 cm', units),
    'lowest to highest',
    depthText('0-2.5 cm', units),
    depthText('2.5-7.5 cm', units),
    'workable',
    '',
    'weather',
  ];
  const aligns: Align[] = ['left', 'right', 'right', 'right', 'right', 'left', 'left', 'left'];
  return table([head, ...rows], aligns);
};

const soilText = (outlook: ShownOutlook, units: Units): string => {
  const { fieldCapacityM3PerM3, wiltingPointM3PerM3 } = outlook.soil;
  const week = outlook.lastWeekTemp5C;
  const check =
    week === null
      ? ''
      : ` Mean of the last seven days at ${depthText('5 cm', units)}: ${shown(week, 'C', units)}; hold it against a thermometer.`;
  const limits = `Water in m3/m3, of the evening; workable goes by the morning and the rain of the day. Field capacity ${rounded(fieldCapacityM3PerM3, 2)}, wilting point ${rounded(wiltingPointM3PerM3, 2)}.`;
  return ['Soil', soilTable(outlook, units), wrapped('  ', limits + check, 4)].join('\n');
};

const emergenceText = (outlook: ShownOutlook): string => {
  const { today } = outlook;
  const band = (value: Parameters<typeof bandText>[0] | null): string =>
    value === null ? '-' : bandText(value, today);
  const thread = (stock: ShownOutlook['emergence'][number]['stock']): string =>
    percent(stock.find(({ stage }) => stage === 'whiteThread')?.stockFrac ?? 0);
  const rows = outlook.emergence.map(({ commonName, upFrac, stock, p10, p50, p90 }) => [
    `  ${commonName}`,
    percent(upFrac),
    thread(stock),
    ...[p10, p50, p90].map(band),
  ]);
  const head = ['Weeds', 'up', 'thread', '10 % up', '50 % up', '90 % up'];
  const past = ({ seedSetDeadline, pastSeedSetFrac }: ShownOutlook['emergence'][number]): string =>
    seedSetDeadline.latest < today
      ? `, past${pastSeedSetFrac > 0 ? ` for ${littlePercent(pastSeedSetFrac)} of what stands` : ''}`
      : pastSeedSetFrac > 0
        ? `; ${littlePercent(pastSeedSetFrac)} of what stands may hold seed already`
        : '';
  const deadlines = outlook.emergence.map((one) => [
    `  ${one.commonName}`,
    `${bandText(one.seedSetDeadline, today)}${past(one)}`,
  ]);
  return [
    table([head, ...rows], ['left', 'right', 'right']),
    wrapped(
      '  ',
      'up: of the year’s seedlings, so far, those that passes killed included, as in the dates; thread: germinated and not yet up. A winter annual’s year begins with its autumn.',
      4,
    ),
    '',
    table([['Kill before it sets seed', ''], ...deadlines]),
  ].join('\n');
};

const flushesText = ({ flushes, emergence, today }: ShownOutlook): string[] => {
  const names = new Map(emergence.map(({ species, commonName }) => [species, commonName]));
  const band = (value: Parameters<typeof bandText>[0]): string => bandText(value, today);
  const items = flushes.map((flush) => {
    const { start, peak, end, species, whiteThreadFrom, whiteThreadPeak, whiteThreadTo } = flush;
    const who = species.map((s) => `${names.get(s.species)} ${percent(s.shareFrac)}`).join(', ');
    return `${shareText(flush, today)}: from ${band(start)}, peak ${band(peak)}, to ${band(end)}. White thread from ${band(whiteThreadFrom)}, most on ${band(whiteThreadPeak)}, to ${band(whiteThreadTo)}. ${who}.`;
  });
  return listText('Flushes', items);
};

const cropLines = (crop: CropAnswer, today: string, units: Units): string => {
  const stages = crop.stages.map(({ stage, reached }) => `${stage} ${bandText(reached, today)}`).join(', ');
  const closes = crop.canopyCloses === null ? 'not within the days known' : bandText(crop.canopyCloses, today);
  const tip =
    crop.shootTipDepthCm === null || crop.shootTipDepthCm <= 0
      ? []
      : [`  Shoot tip ${shown(crop.shootTipDepthCm, 'cm', units)} below the surface`];
  return [
    wrapped('  ', cropText(crop, today, units), 4),
    ...tip,
    ...(stages === '' ? [] : [wrapped('  ', `Stages: ${stages}`, 4)]),
    wrapped('  ', `Covers ${percent(crop.coverFrac)} of the ground; canopy closes: ${closes}`, 4),
  ].join('\n');
};

const cropsPart = ({ crop, companions, today }: ShownOutlook, units: Units): string => {
  const all = crop === null ? companions : [crop, ...companions];
  if (all.length === 0) return 'Crop\n  no crop in the ground';
  return [all.length === 1 ? 'Crop' : 'Crops', ...all.map((one) => cropLines(one, today, units))].join('\n');
};

const windowsPart = (outlook: ShownOutlook, units: Units): string => {
  const { today } = outlook;
  const spans = outlook.windows.map(
    ({ implement, from, to, bestDate, bestScore }) =>
      `${words(implement)}: ${from === to ? dateText(from, today) : spanText(from, to, today)}, ${bestDate === null ? 'saves no more of this year’s yield than it costs' : `best ${dateText(bestDate, today)} (score ${Math.round(bestScore)})`}`,
  );
  return [
    'Windows',
    ...spans.map((span) => `  ${span}`),
    windowsText(outlook.windowDays, units),
    wrapped('  ', bestLine(outlook), 4),
  ].join('\n');
};

/** The whole outlook of a field as text. */
export const outlookText = (outlook: ShownOutlook, farm: Farm, units: Units): string =>
  [
    // A field that is sent whole belongs to no farm that is known.
    headText({ ...farm, farm: [...new Set([farm.name, outlook.name])].join(', ') }),
    ...listText('Taken as given', farm.remarks),
    soilText(outlook, units),
    emergenceText(outlook),
    ...flushesText(outlook),
    cropsPart(outlook, units),
    windowsPart(outlook, units),
    wrapped('', legend(outlook.windowDays), 0),
    ...listText(
      'Notes',
      outlook.notes.map(({ text }) => text),
    ),
    ...listText(
      'Cautions',
      outlook.cautions.map(({ text }) => text),
    ),
  ].join('\n\n');

/** One row a day: soil, crop, and the share of each weed that is up. */
export const outlookRows = (outlook: ShownOutlook): Record<string, string | number | boolean | null>[] => {
  const { soil, crop, companions, emergence } = outlook;
  const kept = (column: readonly (number | null)[] | undefined, i: number): number | null => {
    const value = column?.[i];
    return value === undefined || value === null ? null : rounded(value, 4);
  };
  return soil.temp5MeanC.map((_, i) => ({
    date: dateOf(outlook, i),
    weatherOrigin: soil.weatherOrigin[i] ?? null,
    temp5MeanC: kept(soil.temp5MeanC, i),
    temp5MaxC: kept(soil.temp5MaxC, i),
    temp5MinC: kept(soil.temp5MinC, i),
    temp10MeanC: kept(soil.temp10MeanC, i),
    surfaceWaterM3PerM3: kept(soil.surfaceWaterM3PerM3, i),
    seedbedWaterM3PerM3: kept(soil.seedbedWaterM3PerM3, i),
    surfacePotentialMPa: kept(soil.surfacePotentialMPa, i),
    seedbedPotentialMPa: kept(soil.seedbedPotentialMPa, i),
    snowMm: kept(soil.snowMm, i),
    frozen: soil.frozen[i] ?? null,
    crusted: soil.crusted[i] ?? null,
    workable: soil.workable[i] ?? null,
    cropLeaf: kept(crop?.leaf, i),
    ...Object.fromEntries(companions.map(({ crop: id, leaf }) => [`cropLeaf ${id}`, kept(leaf, i)])),
    ...Object.fromEntries(
      emergence.map(({ species, emergedFrac }) => [`emergedFrac ${species}`, kept(emergedFrac, i)]),
    ),
  }));
};
