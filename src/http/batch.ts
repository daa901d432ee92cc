import { asWhitethreadError, problemDocument } from './errors.ts';

/** How many fields of one batch compute at a time, so that a batch leaves room for others. */
const AT_ONCE = 4;

/** The JSON of one field's answer: `"outlook":...` or `"problems":[...]`, to be put into an object. */
export type Part = { readonly index: number; readonly json: string };

const failed = (thrown: unknown, requestId: string): string => {
  const { problems } = problemDocument(asWhitethreadError(thrown), requestId);
  return `"problems":${JSON.stringify(problems)}`;
};

/**
 * The answers of a batch as soon as each is ready. A field that fails gives its problems and does not sink the others.
 * Whoever stops listening stops the work that has not begun.
 * @param compute gives the JSON of one field's outlook
 */
export async function* answers(
  fields: readonly string[],
  compute: (field: string) => Promise<Uint8Array>,
  requestId: string,
): AsyncGenerator<Part> {
  const decoder = new TextDecoder();
  const running = new Map<number, Promise<Part>>();
  const begin = (index: number): void => {
    const part = compute(fields[index] as string).then(
      (bytes) => ({ index, json: `"outlook":${decoder.decode(bytes)}` }),
      (error: unknown) => ({ index, json: failed(error, requestId) }),
    );
    running.set(index, part);
  };
  let next = 0;
  while (next < fields.length || running.size > 0) {
    while (next < fields.length && running.size < AT_ONCE) begin(next++);
    const part = await Promise.race(running.values());
    running.delete(part.index);
    yield part;
  }
}

/** One line a field, in the order in which they are ready. */
export async function* lines(parts: AsyncIterable<Part>): AsyncGenerator<string> {
  for await (const { index, json } of parts) yield `{"index":${index},${json}}\n`;
}

/** One JSON document, in the order in which the fields came; what is ready early waits. */
export async function* inOrder(parts: AsyncIterable<Part>): AsyncGenerator<string> {
  const early = new Map<number, string>();
  let next = 0;
  yield '{"outlooks":[';
  for await (const part of parts) {
    early.set(part.index, part.json);
    for (let json = early.get(next); json !== undefined; json = early.get(next)) {
      early.delete(next);
      yield `${next === 0 ? '' : ','}{${json}}`;
      next++;
    }
  }
  yield ']}';
}
