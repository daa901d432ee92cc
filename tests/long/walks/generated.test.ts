import { afterAll, beforeAll, describe, test } from 'vitest';
import { type Stored, storedApp } from '../../http/stored.ts';
import { generated } from '../../http/walks/generated.ts';
import { type Operation, operations } from '../../http/walks/operations.ts';

let stored: Stored;
beforeAll(async () => {
  stored = await storedApp({ ratePerMinute: 1_000_000_000 });
});
afterAll(() => stored.close());

/** What computes or writes to a disk costs a hundred times what a look-up does. */
const isDear = ({ id, method }: Operation): boolean =>
  method !== 'GET' || /^(tomorrow|fieldOutlook|passRecord|openapi|metrics)$/.test(id);

describe('10,000 generated requests (1,000 where each computes or writes) get a documented status and never a fault of ours', () => {
  test.each(operations.map((operation) => [operation.id, operation] as const))('%s', async (_, operation) => {
    await generated(stored, operation, isDear(operation) ? 1000 : 10_000);
  });
});
