import { existsSync, readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe } from 'vitest';

const folder = resolve(process.env.WHITETHREAD_EVIDENCE ?? '../shared', 'data');

/** Whether the observations that these suites need are there. */
export const evidenceThere = existsSync(folder);

/** Path of a file of observations. */
export const evidencePath = (name: string): string => resolve(folder, name);

export const evidenceBytes = (name: string): Uint8Array => readFileSync(evidencePath(name));

/** A suite on observations kept outside the repository; says in one line when they are not there. */
export const describeEvidence = (title: string, body: () => void): void => {
  if (evidenceThere) describe(title, body);
  else {
    console.log(`Left out, no observations at WHITETHREAD_EVIDENCE: ${title}`);
    describe.skip(title, body);
  }
};
