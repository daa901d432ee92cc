/** Runs the outlook it is given in a thread of its own and sends the answer's bytes back. */
import { parentPort, workerData } from 'node:worker_threads';
import { loadCatalogue } from '../../../src/catalogue/load.ts';
import { outlook } from '../../../src/core/outlook/outlook.ts';

parentPort?.postMessage(JSON.stringify(outlook(workerData, loadCatalogue())));
