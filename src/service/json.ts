import { whitethreadError } from '../core/base/errors.ts';
import { columnsOf } from './columnsOf.ts';

/** The value of a JSON text that was sent. @throws WhitethreadError 'invalid-input' */
export const jsonOf = (text: string): unknown => {
  try {
    return columnsOf(text) ?? JSON.parse(text);
  } catch (error) {
    const given = error instanceof Error ? error.message : 'no JSON';
    throw whitethreadError([{ code: 'invalid-input', where: 'body', given, allowed: 'JSON' }]);
  }
};
