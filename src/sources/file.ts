import { readFileSync } from 'node:fs';
import { whitethreadError } from '../core/base/errors.ts';

/**
 * The bytes of a file.
 * @param check called first, so that a file can be refused before it is read
 * @throws WhitethreadError 'file-unreadable'
 */
export const readBytes = (path: string | URL, check: () => void = () => {}): Uint8Array => {
  try {
    check();
    return readFileSync(path);
  } catch (error) {
    if (!(error instanceof Error && 'syscall' in error)) throw error;
    throw whitethreadError([
      {
        code: 'file-unreadable',
        where: String(path),
        given: error.message,
        allowed: 'a file that can be read',
        advice: 'Check the path and the right to read it',
      },
    ]);
  }
};
