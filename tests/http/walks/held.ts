import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js';
import type { LightMyRequestResponse } from 'fastify';
import { expect } from 'vitest';
import type { Operation } from './operations.ts';

type Json = Readonly<Record<string, unknown>>;
type Reference = { readonly $ref: string };
type Declared = {
  readonly headers?: Readonly<Record<string, Reference>>;
  readonly content?: Readonly<Record<string, { readonly schema: Json }>>;
};

/** What any answer may carry besides what the document declares: fields of HTTP itself, and those that browsers obey. */
const general = new Set([
  'access-control-allow-origin',
  'access-control-expose-headers',
  'cache-control',
  'connection',
  'content-encoding',
  'content-length',
  'content-security-policy',
  'content-type',
  'date',
  'keep-alive',
  'strict-transport-security',
  'transfer-encoding',
  'vary',
  'x-content-type-options',
]);

/** Holds answers against an OpenAPI document: their status, every header field, their type and the JSON in them. */
export const holder = (document: object) => {
  // Zod writes the pattern of each of its formats beside it.
  const ajv = new Ajv2020({ strict: false, allErrors: true, formats: { date: true, 'date-time': true } });
  ajv.addSchema({ ...document, $id: 'api' });
  const checks = new WeakMap<object, ValidateFunction>();

  const resolved = <T>(node: T | Reference): T => {
    if (typeof node !== 'object' || node === null || !('$ref' in node)) return node as T;
    const path = node.$ref.slice(2).split('/');
    return path.reduce<unknown>((at, name) => (at as Json)[name], document) as T;
  };

  const checkOf = (schema: Json): ValidateFunction => {
    const known = checks.get(schema);
    if (known !== undefined) return known;
    const text = JSON.stringify(schema).replaceAll('"#/components/', '"api#/components/');
    const check = ajv.compile(JSON.parse(text));
    checks.set(schema, check);
    return check;
  };

  const heldHeaders = (declared: Declared, headers: LightMyRequestResponse['headers'], where: string): void => {
    const fields = Object.entries(declared.headers ?? {});
    const known = new Set(fields.map(([name]) => name.toLowerCase()));
    expect(
      Object.keys(headers).filter((name) => !known.has(name) && !general.has(name)),
      `${where} sends what is not declared`,
    ).toEqual([]);
    const required = fields.filter(([, field]) => resolved<{ readonly required: boolean }>(field).required);
    expect(
      required.map(([name]) => name).filter((name) => headers[name.toLowerCase()] === undefined),
      `${where} lacks what is required`,
    ).toEqual([]);
  };

  const heldJson = (schema: Json, text: string, where: string): void => {
    const check = checkOf(schema);
    const isGood = check(JSON.parse(text));
    expect(isGood ? [] : check.errors?.slice(0, 5), `${where} is not of its schema`).toEqual([]);
  };

  return ({ id, shown }: Pick<Operation, 'id' | 'shown'>, answer: LightMyRequestResponse): void => {
    const { statusCode, headers, body } = answer;
    const where = `${id} ${statusCode}`;
    expect(Object.keys(shown.responses), where).toContain(String(statusCode));
    const declared = resolved(shown.responses[String(statusCode)] as Declared | Reference);
    heldHeaders(declared, headers, where);
    if (shown.deprecated === true && statusCode < 400)
      expect(headers.link, `${where} names no successor`).toContain('rel="deprecation"');
    const content = Object.entries(declared.content ?? {});
    if (content.length === 0) {
      expect(body, where).toBe('');
      return;
    }
    const type = String(headers['content-type']).split(';', 1)[0] as string;
    const media = content.find(([name]) => name === type)?.[1];
    expect(media, `${where} gives ${type}`).toBeDefined();
    if (media === undefined || !type.endsWith('json')) return;
    const texts = type === 'application/x-ndjson' ? body.split('\n').filter((line) => line !== '') : [body];
    for (const text of texts) heldJson(media.schema, text, where);
  };
};
