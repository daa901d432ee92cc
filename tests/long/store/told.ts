import { ALL_FARMS, FARM, type Store } from '../../../src/store/contract.ts';

const page = { after: null, limit: 1000 };

/** Everything that a store tells of its farms, whatever form it is kept in. */
export const toldBy = async (store: Store): Promise<unknown> => {
  const farms = await store.list(ALL_FARMS, FARM, page);
  const gone = 'farm-that-went';
  const told = [...farms.map(({ id }) => id), gone].map(async (farmId) => {
    const history = await store.history(farmId, page);
    const kinds = [...new Set(history.map(({ kind }) => kind))].sort();
    const rows = await Promise.all(kinds.map((kind) => store.list(farmId, kind, page)));
    return { farmId, rows, history, keys: await store.keys(farmId) };
  });
  return { farms, told: await Promise.all(told), operators: await store.keys(null) };
};

/** An invented request that was kept: sent again, it gives the row as it was made. */
export const kept = { scope: 'key-office', key: 'once-1', hash: 'c0ffee' };
