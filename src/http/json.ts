import { MOST_PROBLEMS, type Problem, whitethreadError } from '../core/base/errors.ts';
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

/** Place of the comma or bracket that ends the element or member which begins at `from`. */
const elementEnd = (text: string, from: number): number => {
  let depth = 0;
  for (let i = from; i < text.length; ) {
    const code = text.charCodeAt(i);
    if (code === QUOTE) {
      i = pastString(text, i);
      continue;
    }
    if (depth === 0 && (code === 44 || isClose(code))) return i;
    if (isOpen(code)) depth++;
    if (isClose(code)) depth--;
    i++;
  }
  return text.length;
};

const COLON = /\s*:\s*/y;
const ofBatch = (where: string, given: string, allowed: string): Problem => {
  const cut = (text: string): string => (text.length > 80 ? `${text.slice(0, 77)}...` : text);
  return { code: 'invalid-input', where: cut(where), given: cut(given), allowed };
};

const listProblems = (value: string, most: number): readonly Problem[] => {
  if (!value.startsWith('[')) return [ofBatch('fields', value, 'a list')];
  return /^\[\s*\]$/.test(value) ? [ofBatch('fields', 'no fields', `1 to ${most} fields`)] : [];
};

/** What is wrong with the members of a batch, as told of any other body; nothing parsed here either. */
const batchProblems = (text: string, most: number): readonly Problem[] => {
  const body = text.trim();
  if (body === '') return [];
  if (!body.startsWith('{')) return [ofBatch('input', body, 'an object { "fields": [ ... ] }')];
  const problems: Problem[] = [];
  let hasFields = false;
  for (let from = 1; problems.length < MOST_PROBLEMS; ) {
    const open = body.indexOf('"', from);
    COLON.lastIndex = open === -1 ? body.length : pastString(body, open);
    const name = body.slice(open + 1, COLON.lastIndex - 1);
    if (body.slice(from, open).trim() !== '' || !COLON.test(body)) break;
    const end = elementEnd(body, COLON.lastIndex);
    const value = body.slice(COLON.lastIndex, end).trim();
    if (name !== 'fields') problems.push(ofBatch(name, value, 'one of the names fields'));
    else problems.push(...(hasFields ? [ofBatch('fields', 'twice', 'once')] : listProblems(value, most)));
    hasFields ||= name === 'fields';
    if (body[end] !== ',') break;
    from = end + 1;
  }
  // Behind fifty problems nothing was looked at.
  const isSure = hasFields || problems.length >= MOST_PROBLEMS;
  return isSure ? problems : [ofBatch('fields', 'nothing', 'a list'), ...problems];
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
      if (element === '' || text[end] === '}') break;
      texts.push(element);
      if (isLast || texts.length > most) return texts;
      from = end + 1;
    }
  const problems = batchProblems(text, most);
  if (problems.length > 0) throw whitethreadError(problems);
  throw refusal('invalid-input', 'body', 'JSON of another form', '{ "fields": [ ... ] } with nothing beside it');
};
