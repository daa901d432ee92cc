import type { AnswerBounds, SourceAnswer } from './contract.ts';
import type { Sql, Traits } from './tables.ts';

/** So many beyond the bounds go at once; more are never there. */
const MOST_GONE = 1_000;

/** What is kept of a source for a place, or null. */
export const answerOf = async (db: Sql, source: string, place: string): Promise<SourceAnswer | null> =>
  (await db
    .selectFrom('source_answers')
    .select(['source', 'place', 'fetched_at_ms as fetchedAtMs', 'text'])
    .where('source', '=', source)
    .where('place', '=', place)
    .executeTakeFirst()) ?? null;

/** Keeps an answer; one that another replica fetched later stays. */
const kept = async (trx: Sql, { source, place, fetchedAtMs, text }: SourceAnswer): Promise<void> => {
  await trx
    .insertInto('source_answers')
    .values({ source, place, fetched_at_ms: fetchedAtMs, text })
    .onConflict((conflict) =>
      conflict
        .columns(['source', 'place'])
        .doUpdateSet({ fetched_at_ms: fetchedAtMs, text })
        .where('source_answers.fetched_at_ms', '<=', fetchedAtMs),
    )
    .execute();
};

/** Places of a source that are beyond the bounds. */
const beyond = (db: Sql, source: string, { most, oldestMs }: AnswerBounds) =>
  db
    .selectFrom('source_answers as old')
    .select('old.place')
    .where('old.source', '=', source)
    .where(({ or, eb, selectFrom }) =>
      or([
        eb('old.fetched_at_ms', '<', oldestMs),
        eb(
          'old.place',
          'in',
          selectFrom('source_answers as kept')
            .select('kept.place')
            .where('kept.source', '=', source)
            .orderBy('kept.fetched_at_ms', 'desc')
            .orderBy('kept.place')
            .limit(MOST_GONE)
            .offset(most),
        ),
      ]),
    );

/**
 * Keeps an answer and takes away those beyond the bounds. What another replica holds at the moment is passed over and goes
 * the next time: to wait for it while it waits for the answer kept here would be a deadlock.
 */
export const answerKept = async (
  trx: Sql,
  { rowLocks }: Traits,
  answer: SourceAnswer,
  bounds: AnswerBounds,
): Promise<void> => {
  await kept(trx, answer);
  const { source } = answer;
  const gone = beyond(trx, source, bounds).$if(rowLocks, (query) => query.forUpdate().skipLocked());
  await trx.deleteFrom('source_answers').where('source', '=', source).where('place', 'in', gone).execute();
};
