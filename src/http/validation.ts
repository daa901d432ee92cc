import type { FastifySchemaCompiler } from 'fastify';
import { isWhitethreadError } from '../core/base/errors.ts';
import { parsed } from '../core/base/schema.ts';

type Schema = Parameters<typeof parsed>[0];
const places: Readonly<Record<string, string>> = { querystring: 'query', params: 'path', headers: 'header' };

type Check = (data: object) => { readonly value: unknown } | { readonly error: Error };

/** A query of nothing, as most are, becomes the same each time: checked once, and nobody's to change. */
const sameForNothing = (check: Check): Check => {
  let ofNothing: ReturnType<Check> | undefined;
  return (data) => {
    if (Object.keys(data).length > 0) return check(data);
    if (ofNothing !== undefined) return ofNothing;
    const found = check(data);
    // A refusal is one request's: the framework writes into it.
    if ('error' in found) return found;
    ofNothing = { value: Object.freeze(found.value) };
    return ofNothing;
  };
};

/** Checks by the route's zod schema, so that every problem is named with what was given, as everywhere else. */
export const validation: FastifySchemaCompiler<unknown> = ({ schema, httpPart }) => {
  const check: Check = (data) => {
    try {
      return { value: parsed(schema as Schema, data, places[httpPart ?? ''] ?? '') };
    } catch (error) {
      // Anything else is a fault of ours, which the framework would tell as the caller's.
      return { error: isWhitethreadError(error) ? error : Object.assign(error as Error, { statusCode: 500 }) };
    }
  };
  return httpPart === 'querystring' ? sameForNothing(check) : check;
};

/** Where the body stays text: whoever computes checks it, and here the rest. */
export const bodyLater: typeof validation = (route) =>
  route.httpPart === 'body' ? (data) => ({ value: data }) : validation(route);
