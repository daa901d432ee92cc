import { expect, it } from 'vitest';
import { allRecords } from '../../src/service/allRecords.ts';
import { farmParts } from '../../src/service/gather.ts';
import { removedRecord } from '../../src/service/removed.ts';
import { emptyFarm, serviceAt } from '../support/farmService.ts';

it('records are read on over pages that end before they are full: all of a kind, what is gone, and implements once owned', async () => {
  const deps = await serviceAt('2026-05-12T12:00:00Z');
  const farmId = await emptyFarm(deps);
  const stamp = { keyId: 'k', atMs: 1 };
  const ids = ['a', 'b', 'c', 'd'];
  for (const id of ids) {
    const text = JSON.stringify({ own: { id: `tool-${id}` }, note: 'é'.repeat(1_500_000) });
    await deps.store.create({ farmId, kind: 'machine', id, parentId: null, text }, stamp);
  }
  expect((await deps.store.list(farmId, 'machine', { after: null, limit: 100 })).length).toBe(2);
  expect((await allRecords(deps.store, farmId, 'machine')).map(({ id }) => id)).toEqual(ids);

  await deps.store.remove(farmId, 'machine', 'd', 1, stamp);
  const pass = { farmId, kind: 'pass', id: 'p', parentId: null, text: JSON.stringify({ implement: 'tool-d' }) };
  await deps.store.create(pass, stamp);
  expect((await farmParts(deps, farmId)).goneImplements).toEqual([{ id: 'tool-d' }]);

  const made = { farmId, kind: 'machine', id: 'c', parentId: null };
  for (const version of [1, 2, 3])
    await deps.store.change(
      { ...made, text: JSON.stringify({ version, note: 'é'.repeat(1_500_000) }) },
      version,
      stamp,
    );
  await deps.store.remove(farmId, 'machine', 'c', 4, stamp);
  expect((await removedRecord<{ version: number }>(deps.store, farmId, 'machine', 'c'))?.data.version).toBe(3);
});
