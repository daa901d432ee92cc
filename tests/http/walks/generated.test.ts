import { afterAll, beforeAll, describe, test } from 'vitest';
import { type Stored, storedApp } from '../stored.ts';
import { generated } from './generated.ts';
import { operations } from './operations.ts';

let stored: Stored;
beforeAll(async () => {
  stored = await storedApp();
});
afterAll(() => stored.close());

describe('60 generated requests get a documented status and never a fault of ours', () => {
  test.each(operations.map((operation) => [operation.id, operation] as const))('%s', async (_, operation) => {
    await generated(stored, operation, 60);
  });
});
