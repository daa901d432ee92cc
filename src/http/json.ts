import { refusal } from './errors.ts';

/** No body of ours is nested nearly so deeply. */
export const MOST_DEEP = 64;

const QUOTE = 34;
const BACKSLASH = 92;
const isOpen = (code: number): boolean => code === 91 || code === 123;
const isClose = (code: number): boolean => code === 93 || code === 125;

/** Place just behind a string that begins at `at`; the end of the text where it is not closed. */
const pastString = (text: string, at: number): number => {
  for (let end = text.indexOf('"', at + 1); end !== -1; end = text.indexOf('"', end + 1)) {
    let slashes = 0;
    while (text.charCodeAt(end - 1 - slashes) === BACKSLASH) slashes++;
    if (slashes % 2 === 0) return end + 1;
  }
  return text.length;
};

/** Whether a text has so many opening brackets that they could be nested too deeply. */
const hasManyBrackets = (text: string): boolean => {
  let found = 0;
  for (const bracket of ['[', '{'])
    for (let at = text.indexOf(bracket); at !== -1; at = text.indexOf(bracket, at + 1))
      if (++found > MOST_DEEP) return true;
  return false;
};

/**
 * Refuses JSON that is nested too deeply, before anything walks it. Looks at brackets only; whether it is JSON, the
 * parser says.
 * @throws WhitethreadError 'body-too-large'
 */
export const assertShallow = (text: string): void => {
  if (!hasManyBrackets(text)) return;
  let depth = 0;
  for (let i = 0; i < text.length; ) {
    const code = text.charCodeAt(i);
    if (code === QUOTE) {
      i = pastString(text, i);
      continue;
    }
    if (isOpen(code) && ++depth > MOST_DEEP)
      throw refusal('body-too-large', 'body', `JSON nested deeper than ${MOST_DEEP}`, `at most ${MOST_DEEP} levels`);
    if (isClose(code)) depth--;
    i++;
  }
};

const START = /^\s*\{\s*"fields"\s*:\s*\[\s*/;
const END = /^\s*\}\s*$/;

/** Place of the comma or bracket that ends the element which begins at `from`. */
const elementEnd = (text: string, from: number): number => {
  let depth = 0;
  for (let i = from; i < text.length; ) {
    const code = text.charCodeAt(i);
    if (code === QUOTE) {
      i = pastString(text, i);
      continue;
    }
    if (depth === 0 && (code === 44 || code === 93)) return i;
    if (isOpen(code)) depth++;
    if (isClose(code)) depth--;
    i++;
  }
  return text.length;
};

/**
 * The elements of `{ "fields": [ ... ] }` as texts, none of them parsed: a batch of megabytes must not hold up the thread
 * that answers everyone. What is wrong inside an element is for whoever parses it.
 * @param most so many are looked for; one more shows that there are too many, and nothing behind it is looked at
 * @throws WhitethreadError 'invalid-input' where the body is not of this form
 * @example fieldTexts('{"fields":[{"a":1},{"b":[2]}]}', 100) // ['{"a":1}', '{"b":[2]}']
 */
export const fieldTexts = (text: string, most: number): string[] => {
  const start = START.exec(text)?.[0].length;
  const texts: string[] = [];
  if (start !== undefined)
    for (let from = start, end = elementEnd(text, from); end < text.length; end = elementEnd(text, from)) {
      const element = text.slice(from, end).trim();
      const isLast = text[end] === ']';
      if (isLast && !END.test(text.slice(end + 1))) break;
      if (element === '' && isLast && texts.length === 0) return [];
      if (element === '') break;
      texts.push(element);
      if (isLast || texts.length > most) return texts;
      from = end + 1;
    }
  throw refusal('invalid-input', 'body', 'JSON of another form', '{ "fields": [ ... ] } with nothing beside it');
};
