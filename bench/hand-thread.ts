import { parentPort } from 'node:worker_threads';
import { type Errand, openHand } from '@brinewright/evidence';

const work = openHand();
parentPort?.on('message', (errand: Errand) => parentPort?.postMessage(work(errand)));
