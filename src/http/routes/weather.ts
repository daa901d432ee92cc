import { dayNumber, isoDate } from '../../core/base/day.ts';
import { type DailyWeather, dailyWeather } from '../../core/weather/schema.ts';
import { csvText } from '../../report/csv.ts';
import { readRecord } from '../../service/records.ts';
import { keepWeather, postedCsv } from '../../service/weather.ts';
import { asker } from '../access.ts';
import { nothing, text, weatherKept } from '../answers/schema.ts';
import { textBodies } from '../bodies.ts';
import type { App, HttpDeps } from '../contract.ts';
import { chosenType } from '../negotiation.ts';
import { sendRaw } from '../raw.ts';
import { hasIt, tagOf, versionMeant } from '../rows.ts';
import { mayMatchHeaders, recordParams } from '../schema.ts';
import { validation } from '../validation.ts';

const URL = '/v1/farms/:farmId/stations/:id/weather';
const types = ['application/json', 'text/csv'] as const;
const tags = ['weather'];
/** Sixty years of days as columns are 3 MB. */
const bodyLimit = 8 * 1024 * 1024;

/** CSV is checked by its reader. */
const jsonOnly: typeof validation = (route) => {
  const check = validation(route);
  return (data) => (route.httpPart === 'body' && typeof data === 'string' ? { value: data } : check(data));
};

/** Rows that the reader of CSV takes back. */
const rowsOf = (weather: DailyWeather): Record<string, string | number | null>[] =>
  weather.tempMaxC.map((max, i) => ({
    date: isoDate(dayNumber(weather.startDate) + i),
    tmax_c: max,
    tmin_c: weather.tempMinC[i] ?? null,
    rain_mm: weather.rainMm[i] ?? null,
  }));

const writing = (app: App, deps: HttpDeps, method: 'PUT' | 'PATCH', summary: string, description: string): void => {
  app.route({
    method,
    url: URL,
    bodyLimit,
    validatorCompiler: jsonOnly,
    config: { role: 'planner', refuses: [422], takes: ['text/csv'] },
    schema: {
      operationId: method === 'PUT' ? 'replaceWeather' : 'addWeather',
      summary,
      description: `${description} Columns, or CSV whose header names the units. With If-Match only in the place of that version. Where it changes nothing, the version stays.`,
      tags,
      params: recordParams,
      headers: mayMatchHeaders,
      body: dailyWeather,
      response: { 200: weatherKept.describe('What was odd about the whole series') },
    },
    handler: async (request, reply) => {
      const { farmId, id } = request.params;
      const posted = request.body as DailyWeather | string;
      const weather = typeof posted === 'string' ? postedCsv(posted) : posted;
      const version = request.headers['if-match'] === undefined ? null : versionMeant(request);
      const text = typeof posted === 'string' ? undefined : request.bodyText;
      const how = { add: method === 'PATCH', version, text };
      const { row, findings } = await keepWeather(deps, asker(request), farmId, id, weather, how);
      reply.header('etag', tagOf(row.version));
      return { version: row.version, findings: [...findings] };
    },
  });
};

/** Daily weather of a station that is posted, as columns or CSV. */
export const weatherRoutes = (app: App, deps: HttpDeps): void => {
  textBodies(app, ['text/csv']);
  writing(app, deps, 'PUT', 'Replace the weather of a station', 'The series takes the place of what was there.');
  writing(
    app,
    deps,
    'PATCH',
    'Add days to the weather of a station',
    'Days that are sent go over days that are there.',
  );
  app.get(
    URL,
    {
      config: { role: 'reader', gives: types },
      schema: {
        operationId: 'readWeather',
        summary: 'Read the weather that was posted for a station',
        description: 'As columns, or as CSV of highest and lowest temperature and rain.',
        tags,
        params: recordParams,
        response: {
          200: {
            description: 'The series, with its ETag',
            content: { 'application/json': { schema: dailyWeather }, 'text/csv': { schema: text } },
          },
          304: nothing.describe('Not changed'),
        },
      },
    },
    async ({ params, headers }, reply) => {
      const type = chosenType(headers.accept, types);
      const row = await readRecord(deps, params.farmId, 'weather', params.id);
      reply.header('etag', tagOf(row.version)).header('vary', 'accept');
      if (hasIt(headers['if-none-match'], tagOf(row.version))) return reply.code(304).send(undefined);
      const isCsv = type === 'text/csv';
      return sendRaw(reply, type, isCsv ? csvText(rowsOf(JSON.parse(row.text) as DailyWeather)) : row.text);
    },
  );
};
