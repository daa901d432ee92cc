import { createHash } from 'node:crypto';
import { catalogueEntries, catalogueEntry, nothing } from '../answers/schema.ts';
import type { App, HttpDeps } from '../contract.ts';
import { refusal } from '../errors.ts';
import { sendTagged } from '../rows.ts';
import { catalogueParts, entryParams, partParams } from '../schema.ts';

const HOUR_S = 3600;
const tags = ['catalogue'];

type Page = { readonly text: string; readonly tag: string };

const page = (value: unknown): Page => {
  const text = JSON.stringify(value);
  return { text, tag: `"${createHash('sha256').update(text).digest('base64url').slice(0, 22)}"` };
};

type Entry = HttpDeps['catalogue'][(typeof catalogueParts)[number]][number];

const nameOf = (entry: Entry) => ({ id: entry.id, name: 'commonName' in entry ? entry.commonName : entry.name });

/** The catalogue does not change while the process runs: every page is made once. */
const pages = ({ catalogue }: HttpDeps): ReadonlyMap<string, Page> => {
  const made = new Map<string, Page>();
  for (const part of catalogueParts) {
    made.set(part, page({ items: catalogue[part].map(nameOf) }));
    for (const entry of catalogue[part]) {
      const origin = [...catalogue.provenance]
        .filter(([path]) => path.startsWith(`${part}/${entry.id}/`))
        .map(([path, sourced]) => [path.slice(part.length + entry.id.length + 2), sourced]);
      made.set(`${part}/${entry.id}`, page({ entry, origin: Object.fromEntries(origin) }));
    }
  }
  return made;
};

/** Weeds, crops and implements as they ship. */
export const catalogueRoutes = (app: App, deps: HttpDeps): void => {
  const known = pages(deps);
  const found = (path: string): Page => {
    const entry = known.get(path);
    if (entry === undefined) throw refusal('not-found', 'address', path, 'an id of the list');
    return entry;
  };
  app.addHook('onSend', (_, reply, payload, done) => {
    if (reply.statusCode < 400) reply.header('cache-control', `private, max-age=${HOUR_S}`);
    done(null, payload);
  });

  app.get(
    '/v1/catalogue/:part',
    {
      config: { role: 'reader' },
      schema: {
        operationId: 'listCatalogue',
        summary: 'Ids of the catalogue',
        description: 'All of one part at once: weed species, crops or implements.',
        tags,
        params: partParams,
        response: { 200: catalogueEntries.describe('The ids'), 304: nothing.describe('Not changed') },
      },
    },
    (request, reply) => {
      const { text, tag } = found(request.params.part);
      return sendTagged(request, reply, tag, text);
    },
  );

  app.get(
    '/v1/catalogue/:part/:id',
    {
      config: { role: 'reader' },
      schema: {
        operationId: 'readCatalogue',
        summary: 'One entry of the catalogue',
        description:
          'The entry, and the origin of each of its values: published, derived or a default, with the source.',
        tags,
        params: entryParams,
        response: { 200: catalogueEntry.describe('The entry'), 304: nothing.describe('Not changed') },
      },
    },
    (request, reply) => {
      const { part, id } = request.params;
      const { text, tag } = found(`${part}/${id}`);
      return sendTagged(request, reply, tag, text);
    },
  );
};
