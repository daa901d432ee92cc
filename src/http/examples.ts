/** By operation: the body to send, and the answer by its type. A test holds them against the schemas. */
export type Example = { readonly body?: unknown; readonly answer?: Readonly<Record<string, unknown>> };

export const examples = (): Readonly<Record<string, Example>> => ({});
