import { problemText } from '../core/base/errors.ts';
import { rounded } from '../core/base/numbers.ts';
import type { TomorrowAnswer } from '../service/schema.ts';
import { csvInUnits } from './csv.ts';
import { clockText } from './dates.ts';
import { closedText } from './reasons.ts';
import type { Units } from './units.ts';
import { leftFrac, whiteThreadKill } from './windowsText.ts';

const columns = [
  ...['field', 'date', 'implement', 'open', 'from', 'to', 'hours', 'after', 'until'],
  ...[
    'killLowFrac',
    'killMeanFrac',
    'killHighFrac',
    'whiteThreadKillFrac',
    'leftFrac',
    'standLossFrac',
    'coverLossFrac',
    'score',
  ],
  ...['closed', 'why', 'tempMaxC', 'tempMinC', 'rainMm', 'weatherOrigin', 'cautions'],
  ...['notes', 'remarks', 'invented'],
] as const;
type Row = Partial<Record<(typeof columns)[number], string | number | boolean | null>>;

const fieldRows = (
  { name, windowDays, weather, cautions, notes, remarks }: TomorrowAnswer['fields'][number],
  farm: TomorrowAnswer,
  units: Units,
): Row[] =>
  windowDays.map((day) => {
    const sky = (weather ?? farm.weather).find(({ date }) => date === day.date);
    const thread = whiteThreadKill(day);
    return {
      field: name,
      date: day.date,
      implement: day.implement,
      open: day.open,
      from: day.hours === null ? null : clockText(day.hours.from, day.date),
      to: day.hours === null ? null : clockText(day.hours.to, day.date),
      hours: day.hours === null ? null : rounded(day.hours.count, 2),
      after: day.hours?.after ?? null,
      until: day.hours?.until ?? null,
      killLowFrac: rounded(day.kill.low, 3),
      killMeanFrac: rounded(day.kill.mean, 3),
      killHighFrac: rounded(day.kill.high, 3),
      whiteThreadKillFrac: thread === null ? null : rounded(thread, 3),
      leftFrac: day.open ? rounded(leftFrac(day), 4) : null,
      standLossFrac: rounded(day.standLossFrac, 3),
      coverLossFrac: rounded(day.coverLossFrac, 3),
      score: rounded(day.score, 1),
      closed: day.closed.map(({ reason }) => reason).join(' '),
      why: day.closed.map((closed) => closedText(closed, units)).join('; '),
      tempMaxC: sky?.tempMaxC ?? null,
      tempMinC: sky?.tempMinC ?? null,
      rainMm: sky?.rainMm ?? null,
      weatherOrigin: day.weatherOrigin,
      cautions: cautions
        .filter(({ hazard }) => day.hazards.some((one) => one === hazard))
        .map(({ text }) => text)
        .join('; '),
      notes: notes.map(({ text }) => text).join(' '),
      // A farm may have remarks for each of its fields: a row has those of its own.
      remarks: (remarks ?? farm.remarks).join(' '),
    };
  });

/** A field that nothing can be told of: closed, and why. */
const failedRow = ({ name, problems }: TomorrowAnswer['failed'][number]): Row => ({
  field: name,
  open: false,
  closed: problems.map(({ code }) => code).join(' '),
  why: problems.map(problemText).join('; '),
});

/** A row for each field, implement and day, then one for each field that there is no answer for. */
export const tomorrowCsv = (answer: TomorrowAnswer, units: Units): string => {
  const rows = [...answer.fields.flatMap((field) => fieldRows(field, answer, units)), ...answer.failed.map(failedRow)];
  const { invented } = answer;
  return csvInUnits(
    rows.map((row) => ({ ...row, invented })),
    columns,
    units,
  );
};
