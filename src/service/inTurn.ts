/** So many at a time of one request: it keeps the workers busy and leaves the queue to others. */
const AT_ONCE = 4;

/** The answers for all items in their order, a few asked for at a time; after a fault no more is begun. */
export const inTurn = async <T, U>(items: readonly T[], answer: (item: T) => Promise<U>): Promise<U[]> => {
  const answers: U[] = [];
  let next = 0;
  const oneAfterAnother = async (): Promise<void> => {
    while (next < items.length) {
      const i = next++;
      answers[i] = await answer(items[i] as T).catch((error: unknown) => {
        next = items.length;
        throw error;
      });
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, oneAfterAnother));
  return answers;
};
