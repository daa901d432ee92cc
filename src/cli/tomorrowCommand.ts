import { Command } from 'commander';
import { loadCatalogue } from '../catalogue/load.ts';
import { outlook } from '../core/outlook/outlook.ts';
import { tomorrowCsv } from '../report/tomorrowCsv.ts';
import { tomorrowText } from '../report/tomorrowText.ts';
import { inUsUnits } from '../report/units.ts';
import { fieldTomorrow, tomorrowOf } from '../service/answer.ts';
import { formatOf, jsonText } from './arguments.ts';
import { chosenFarm } from './chosenFarm.ts';
import { addFieldOptions, type FieldOptions } from './fieldOptions.ts';
import type { Io } from './io.ts';

const HELP = `
For each field, implement and day: open, with the hours, the share of weeds killed, what is left, what the
crop pays and a score that ranks the days; or closed, with every reason, the value met and the limit.
Without --farm or --weather it shows a demo farm; its fields and its weather are invented.

The weather is one row a day from the end of winter to today, for a crop sown in autumn from before its
sowing, and as many forecast days as you have: date, highest and lowest temperature, rain, each header with
its unit (tmax_c or tmax_f, rain_mm or rain_in). Days from today on count as forecast.

Examples:
  $ whitethread tomorrow
  $ whitethread tomorrow --weather my.csv --lat 42.0 --lon -93.8 --zone America/Chicago \\
      --texture silty-clay-loam --crop soybean --planted 2026-05-08 --row 30in --units us
  $ whitethread tomorrow --weather my.csv --lat 42.0 --lon -93.8 --crop field-corn --planted 2026-05-02 \\
      --weeds waterhemp:3,giant-foxtail --passes 2026-05-08:rotary-hoe --days 7
  $ whitethread tomorrow --farm farm.json --format csv > windows.csv`;

/** `whitethread tomorrow` */
export const tomorrowCommand = (io: Io): Command => {
  const command = new Command('tomorrow')
    .summary('pass windows of every field for the next days')
    .description('Pass windows of every field for the next days.')
    .addHelpText('after', HELP);
  return addFieldOptions(command).action((options: FieldOptions) => {
    const farm = chosenFarm(options, io, command);
    const catalogue = loadCatalogue();
    const fields = farm.fields.map((field) =>
      fieldTomorrow(field, outlook({ ...field, horizonDays: options.days }, catalogue)),
    );
    const answer = tomorrowOf(farm, fields);
    const { units } = options;
    const format = formatOf(options);
    if (format === 'json') io.out(jsonText(units === 'us' ? inUsUnits(answer) : answer));
    else if (format === 'csv') io.out(tomorrowCsv(answer, units));
    else io.out(tomorrowText(answer, units));
  });
};
