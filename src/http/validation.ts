import type { FastifySchemaCompiler } from 'fastify';
import { parsed } from '../core/base/schema.ts';

type Schema = Parameters<typeof parsed>[0];
const places: Readonly<Record<string, string>> = { querystring: 'query', params: 'path', headers: 'header' };

/** Checks by the route's zod schema, so that every problem is named with what was given, as everywhere else. */
export const validation: FastifySchemaCompiler<unknown> =
  ({ schema, httpPart }) =>
  (data) => {
    try {
      return { value: parsed(schema as Schema, data, places[httpPart ?? ''] ?? '') };
    } catch (error) {
      return { error: error as Error };
    }
  };

/** Where the body stays text: whoever computes checks it, and here the rest. */
export const bodyLater: typeof validation = (route) =>
  route.httpPart === 'body' ? (data) => ({ value: data }) : validation(route);
