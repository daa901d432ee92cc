import { type DayNumber, isoDate } from '../base/day.ts';
import { rounded } from '../base/numbers.ts';
import { firstOn, hemisphereMonthDay, latestOn } from '../base/season.ts';
import type { Soil } from '../soil/schema.ts';
import type { SoilConstants } from '../soil/texture.ts';
import type { Outlook } from './schema.ts';

/** That a class and measured fractions are both given, which of them counted, and what was reckoned with. */
export const classAndMeasured = (
  { texture, sandFrac, clayFrac }: Soil,
  constants: Pick<SoilConstants, 'sandFrac' | 'clayFrac'>,
): Outlook['notes'] => {
  if (texture === undefined || (sandFrac === undefined && clayFrac === undefined)) return [];
  const percent = (frac: number) => `${rounded(100 * frac, 1)} %`;
  const [measured, rest] =
    clayFrac === undefined
      ? ['sandFrac', 'the class counts for clay alone']
      : sandFrac === undefined
        ? ['clayFrac', 'the class counts for sand alone']
        : ['sandFrac and clayFrac', 'the class does not count'];
  return [
    {
      code: 'texture-and-fractions',
      text: `Both the texture class ${texture} and ${measured} are given: what was measured goes before the class, and ${rest}. Reckoned with ${percent(constants.sandFrac)} sand and ${percent(constants.clayFrac)} clay.`,
    },
  ];
};

/** Months in which soils are drier than after a winter, and how long the soil remembers what it began with. Defaults of judgement. */
const DRY_FROM = '06-01';
const DRY_TO = '10-15';
const MEMORY_DAYS = 90;

/** That the weather begins in the dry months, when few soils are as wet as the soil is taken to be on the first day. */
export const beginsWet = (startDay: DayNumber, today: DayNumber, southern: boolean): Outlook['notes'] => {
  const dryFrom = latestOn(hemisphereMonthDay(DRY_FROM, southern), startDay);
  const isDry = startDay < firstOn(hemisphereMonthDay(DRY_TO, southern), dryFrom);
  if (!isDry || today - startDay > MEMORY_DAYS) return [];
  return [
    {
      code: 'soil-begins-wet',
      text: `The weather begins on ${isoDate(startDay)}, in the dry months, and the soil is taken to be as wet then as after a winter: for weeks it may be told too wet, and weeds of this autumn too many and too early. Give weather from the spring before.`,
    },
  ];
};
