import { onceNamed } from './components.ts';
import { titles } from './errors.ts';
import type { Example, Examples } from './examples/examples.ts';

type Json = { readonly [key: string]: unknown };
type Media = Record<string, { schema?: unknown; example?: unknown }>;
type Operation = {
  operationId: string;
  parameters?: readonly { readonly in: string; readonly name: string }[];
  requestBody?: { content: Media; required?: boolean };
  responses: Record<string, { readonly $ref?: string; readonly description?: string; content?: Media }>;
  'x-role': string;
  'x-refuses'?: readonly number[];
  'x-takes'?: readonly string[];
};
/** As much of an OpenAPI document as is touched here. */
export type OpenApi = Json & {
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>;
  readonly components: { readonly schemas: Readonly<Record<string, unknown>> } & Json;
};

const writes = ['post', 'put', 'patch', 'delete'];

/** Statuses that follow from an operation's form. */
const faultsOf = (method: string, path: string, operation: Operation): number[] => {
  const { parameters = [], requestBody, 'x-role': role, 'x-refuses': own = [] } = operation;
  const has = (name: string) => parameters.some((parameter) => parameter.name.toLowerCase() === name);
  const isStored = path.includes('/farms') || path.includes('/keys');
  // A DELETE may bring a body, which is read before it is found to be of no use.
  const takesBody = requestBody !== undefined || method === 'delete';
  return [
    ...(parameters.length > 0 || takesBody ? [400] : []),
    ...(role === 'none' ? [] : [401]),
    ...(role === 'none' || role === 'reader' ? [] : [403]),
    ...(path.includes('{') || isStored ? [404] : []),
    ...(takesBody ? [413, 415] : []),
    ...(has('if-match') ? [412, 428] : []),
    ...(has('idempotency-key') ? [422] : []),
    ...(isStored && writes.includes(method) ? [507] : []),
    ...own,
    406,
    429,
    500,
    503,
  ];
};

const PROBLEM = 'application/problem+json';
const problemResponses = Object.fromEntries(
  Object.entries(titles).map(([status, title]) => [
    `Problem${status}`,
    { description: title, content: { [PROBLEM]: { schema: { $ref: '#/components/schemas/Problem' } } } },
  ]),
);

const finishedOperation = (method: string, path: string, operation: Operation, shown: Example = {}): Operation => {
  const { 'x-refuses': _, 'x-takes': takes = [], ...rest } = operation;
  const faults = faultsOf(method, path, operation).map((status) => [
    String(status),
    { $ref: `#/components/responses/Problem${status}` },
  ]);
  const responses = { ...operation.responses, ...Object.fromEntries(faults) };
  const body = rest.requestBody?.content['application/json'];
  for (const type of takes) Object.assign(rest.requestBody?.content ?? {}, { [type]: { schema: { type: 'string' } } });
  if (body !== undefined && shown.body !== undefined) body.example = shown.body;
  for (const [type, example] of Object.entries(shown.answer ?? {})) {
    const good = Object.keys(operation.responses).find((status) => status.startsWith('2')) ?? '200';
    const media = responses[good]?.content?.[type];
    if (media !== undefined) media.example = example;
  }
  return { ...rest, responses };
};

const usedResponses = (paths: unknown): Record<string, unknown> => {
  const text = JSON.stringify(paths);
  return Object.fromEntries(Object.entries(problemResponses).filter(([name]) => text.includes(`responses/${name}"`)));
};

/** The document with what every operation shares: its faults, tested examples, each schema named once. */
export const finished = (document: OpenApi, examples: Examples): OpenApi => {
  const paths = Object.fromEntries(
    Object.entries(document.paths).map(([path, operations]) => [
      path,
      Object.fromEntries(
        Object.entries(operations).map(([method, operation]) => [
          method,
          finishedOperation(method, path, operation, examples[operation.operationId]),
        ]),
      ),
    ]),
  );
  const components = { ...document.components, responses: usedResponses(paths) };
  return onceNamed({ ...document, paths, components });
};
