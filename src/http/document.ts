import { US_ENDING, usSchema } from '../report/usSchema.ts';
import { onceNamed } from './components.ts';
import { titles } from './errors.ts';
import type { Example, Examples } from './examples/examples.ts';
import { answerHeaders, type HeaderName, headerComponents, problemHeaders } from './headers.ts';

type Json = { readonly [key: string]: unknown };
type Media = Record<string, { schema?: unknown; example?: unknown }>;
type Operation = {
  operationId: string;
  parameters?: readonly { readonly in: string; readonly name: string }[];
  requestBody?: { content: Media; required?: boolean };
  responses: Record<string, { readonly $ref?: string; readonly description?: string; content?: Media }>;
  'x-role': string;
  'x-route'?: RouteForm;
};
/** What the routes' own declarations add to what their schemas say. */
export type RouteForm = {
  readonly refuses: readonly number[];
  readonly takes: readonly string[];
  readonly sends: readonly HeaderName[];
  readonly isUnlimited: boolean;
};
/** As much of an OpenAPI document as is touched here. */
export type OpenApi = Json & {
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>;
  readonly components: { readonly schemas: Readonly<Record<string, unknown>> } & Json;
};

const writes = ['post', 'put', 'patch', 'delete'];

const noForm: RouteForm = { refuses: [], takes: [], sends: [], isUnlimited: false };

const hasParameter = ({ parameters = [] }: Operation, name: string): boolean =>
  parameters.some((parameter) => parameter.name.toLowerCase() === name);

/** Statuses that follow from an operation's form. */
const faultsOf = (method: string, path: string, operation: Operation): number[] => {
  const { parameters = [], requestBody, 'x-role': role, 'x-route': route = noForm } = operation;
  const isStored = path.includes('/farms') || path.includes('/keys');
  // A DELETE may bring a body, which is read before it is found to be of no use.
  const takesBody = requestBody !== undefined || method === 'delete';
  return [
    ...(parameters.length > 0 || takesBody || role !== 'none' ? [400] : []),
    ...(role === 'none' ? [] : [401]),
    ...(role === 'none' || role === 'reader' ? [] : [403]),
    ...(path.includes('{') || isStored ? [404] : []),
    ...(takesBody ? [413, 415] : []),
    ...(hasParameter(operation, 'if-match') ? [412] : []),
    ...(hasParameter(operation, 'idempotency-key') ? [422] : []),
    ...(isStored && writes.includes(method) ? [507] : []),
    ...route.refuses,
    406,
    ...(route.isUnlimited ? [] : [429]),
    500,
    503,
  ];
};

const PROBLEM = 'application/problem+json';
const problemResponses = Object.fromEntries(
  Object.entries(titles).map(([status, title]) => [
    `Problem${status}`,
    {
      description: title,
      headers: problemHeaders(Number(status)),
      content: { [PROBLEM]: { schema: { $ref: '#/components/schemas/Problem' } } },
    },
  ]),
);

/** JSON whose units the caller may choose is in one or the other. */
const inBothUnits = (content: Media): Media =>
  Object.fromEntries(
    Object.entries(content).map(([type, { schema, ...rest }]) => [
      type,
      { ...rest, schema: type.endsWith('json') ? { anyOf: [schema, usSchema(schema)] } : schema },
    ]),
  );

/** The schemas, and each in US units; those that nothing refers to go in the end. */
const schemasOf = ({ components }: OpenApi): OpenApi['components']['schemas'] =>
  Object.fromEntries(
    Object.entries(components.schemas).flatMap(([name, schema]) => [
      [name, schema],
      [name + US_ENDING, usSchema(schema)],
    ]),
  );

/** The good answers with the header fields that they carry. */
const answersOf = (operation: Operation): Operation['responses'] => {
  const { responses, 'x-route': { sends, isUnlimited } = noForm } = operation;
  const hasUnits = hasParameter(operation, 'units');
  const isOnce = hasParameter(operation, 'idempotency-key');
  const isTagged = '304' in responses || isOnce || hasParameter(operation, 'if-match');
  return Object.fromEntries(
    Object.entries(responses).map(([status, { content, ...response }]) => [
      status,
      {
        ...response,
        headers: answerHeaders({ status, isTagged, isOnce, isUnlimited, sends }),
        ...(content === undefined ? {} : { content: hasUnits ? inBothUnits(content) : content }),
      },
    ]),
  );
};

const finishedOperation = (method: string, path: string, operation: Operation, shown: Example = {}): Operation => {
  const { 'x-route': { takes } = noForm, ...rest } = operation;
  const faults = faultsOf(method, path, operation).map((status) => [
    String(status),
    { $ref: `#/components/responses/Problem${status}` },
  ]);
  const answers = answersOf(operation);
  const body = rest.requestBody?.content['application/json'];
  for (const type of takes) Object.assign(rest.requestBody?.content ?? {}, { [type]: { schema: { type: 'string' } } });
  if (body !== undefined && shown.body !== undefined) body.example = shown.body;
  for (const [type, example] of Object.entries(shown.answer ?? {})) {
    const good = Object.keys(answers).find((status) => status.startsWith('2')) ?? '200';
    const media = answers[good]?.content?.[type];
    if (media !== undefined) media.example = example;
  }
  return { ...rest, responses: { ...answers, ...Object.fromEntries(faults) } };
};

/** Those of the components of a kind that something refers to. */
const used = (kind: string, components: Json, by: unknown): Json => {
  const text = JSON.stringify(by);
  return Object.fromEntries(Object.entries(components).filter(([name]) => text.includes(`${kind}/${name}"`)));
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
  const responses = used('responses', problemResponses, paths);
  const schemas = schemasOf(document);
  const components = {
    ...document.components,
    schemas,
    responses,
    headers: used('headers', headerComponents, [paths, responses]),
  };
  return onceNamed({ ...document, paths, components });
};
