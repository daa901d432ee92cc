import type { Credit } from './contract.ts';

/** Each source once, however many stations it served, as old as for the station for which it is oldest. */
export const together = (credits: readonly Credit[]): Credit[] => {
  const bySource = new Map<string, Credit>();
  for (const credit of credits) {
    const other = bySource.get(credit.source) ?? credit;
    const older = credit.fetchedAt < other.fetchedAt ? credit : other;
    bySource.set(credit.source, { ...older, stale: credit.stale || other.stale });
  }
  return [...bySource.values()];
};
