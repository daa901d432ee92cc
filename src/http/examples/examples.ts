import type { CatalogueCore } from '../../core/outlook/catalogue.ts';
import { exampleField, exampleOutlook } from './outlook.ts';

/** By operation: the body to send, and the answer by its type. A test holds them against the schemas. */
export type Example = { readonly body?: unknown; readonly answer?: Readonly<Record<string, unknown>> };
export type Examples = Readonly<Record<string, Example>>;

const json = (answer: unknown) => ({ 'application/json': answer });

/** The examples of the OpenAPI document. */
export const examples = (catalogue: CatalogueCore): Examples => {
  const outlook = exampleOutlook(catalogue);
  const [hoe] = catalogue.implements.filter(({ id }) => id === 'rotary-hoe');
  return {
    health: { answer: json({ status: 'ok' }) },
    ready: { answer: json({ status: 'ready' }) },
    listCatalogue: { answer: json({ items: [{ id: 'waterhemp', name: 'waterhemp' }] }) },
    readCatalogue: {
      answer: json({
        entry: hoe,
        origin: { widthM: { value: 6.4, unit: 'm', basis: 'default', note: 'A common width' } },
      }),
    },
    outlook: { body: exampleField, answer: json(outlook) },
    outlookBatch: {
      body: { fields: [exampleField] },
      answer: { ...json({ outlooks: [{ outlook }] }), 'application/x-ndjson': { index: 0, outlook } },
    },
  };
};
