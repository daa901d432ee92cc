import type { HeapProfiler } from 'node:inspector';
import { Session } from 'node:inspector/promises';

/** Every 512th byte is looked at: close enough for a mean over many runs. */
const SAMPLING_BYTES = 512;

/** Bytes that a run allocates on the heap, by file, collected or not; the columns themselves lie outside the heap. */
export const heapBytes = async (what: () => unknown, runs: number): Promise<ReadonlyMap<string, number>> => {
  const session = new Session();
  session.connect();
  await session.post('HeapProfiler.startSampling', {
    samplingInterval: SAMPLING_BYTES,
    includeObjectsCollectedByMajorGC: true,
    includeObjectsCollectedByMinorGC: true,
  });
  for (let run = 0; run < runs; run++) what();
  const { profile } = await session.post('HeapProfiler.stopSampling');
  session.disconnect();
  const bytes = new Map<string, number>();
  const count = ({ callFrame, selfSize, children }: HeapProfiler.SamplingHeapProfileNode): void => {
    const file = callFrame.url.split('/').at(-1) || callFrame.functionName;
    bytes.set(file, (bytes.get(file) ?? 0) + selfSize / runs);
    children.forEach(count);
  };
  count(profile.head);
  return bytes;
};
