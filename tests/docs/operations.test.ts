import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { MOST_FAILURES } from '../../src/http/limits.ts';
import { settings } from '../../src/http/settings/schema.ts';
import { roles } from '../../src/store/contract.ts';
import { root } from '../rules/tree.ts';

const page = readFileSync(join(root, 'docs/operations.md'), 'utf8');
/** First and second cell of every row whose first cell is code. */
const rows = [...page.matchAll(/^\| `([^`]+)` +\| (.*?) +\|/gm)].map(([, name = '', second = '']) => [name, second]);

describe('docs/operations.md', () => {
  test('names every setting with what it is without one, and no other', () => {
    const usual: Readonly<Record<string, unknown>> = settings.parse({});
    const shown = rows.filter(([name]) => name?.startsWith('WHITETHREAD_'));
    const isNone = (value: unknown): boolean => value === undefined || (Array.isArray(value) && value.length === 0);
    const wanted = Object.keys(settings.shape).map((name) => [
      `WHITETHREAD_${name}`,
      isNone(usual[name]) ? 'none' : `\`${usual[name]}\``,
    ]);
    expect(Object.fromEntries(shown)).toEqual(Object.fromEntries(wanted));
  });

  test('names the roles in rising order', () => {
    expect(rows.map(([name]) => name).filter((name) => !name?.startsWith('WHITETHREAD_'))).toEqual([...roles]);
  });

  test('tells the limit of requests and of wrong keys as the server has it', () => {
    expect(page).toContain(`| ${settings.parse({}).RATE_PER_MINUTE} a minute `);
    expect(page).toContain(`| ${MOST_FAILURES} a minute `);
  });
});
