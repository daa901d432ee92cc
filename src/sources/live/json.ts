import { malformed } from './failure.ts';

const decoder = new TextDecoder();
const MOST_SHOWN = 60;

/** The body of an answer as JSON. @throws Failure 'source-malformed' */
export const bodyJson = (id: string, bytes: Uint8Array): unknown => {
  const text = decoder.decode(bytes);
  try {
    return JSON.parse(text);
  } catch {
    throw malformed(id, 'body', text.slice(0, MOST_SHOWN), 'JSON');
  }
};
