import type { AnswerBounds, SourceAnswer } from './contract.ts';
import type { Sql } from './tables.ts';

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
export const answerKept = async (
  trx: Sql,
  { source, place, fetchedAtMs, text }: SourceAnswer,
  { most, oldestMs }: AnswerBounds,
): Promise<void> => {
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
  await trx
    .deleteFrom('source_answers')
    .where('source', '=', source)
    .where(({ or, eb, selectFrom }) =>
      or([
        eb('fetched_at_ms', '<', oldestMs),
        eb(
          'place',
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
    )
    .execute();
};
