import type { CatalogueCore } from '../../core/outlook/catalogue.ts';
import { outlookExamples } from './outlook.ts';
import { recordExamples } from './records.ts';

/** By operation: the body to send, and the answer by its type. A test holds them against the schemas. */
export type Example = { readonly body?: unknown; readonly answer?: Readonly<Record<string, unknown>> };
export type Examples = Readonly<Record<string, Example>>;

const json = (answer: unknown) => ({ 'application/json': answer });

/** The examples of the OpenAPI document. */
export const examples = (catalogue: CatalogueCore): Examples => {
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
    ...recordExamples(),
    ...outlookExamples(catalogue),
  };
};
