/** Does a part of the course worker's work: some particles of a fit, or something supposed. */
import { type Errand, openHand } from '@brinewright/evidence';

const work = openHand();

self.addEventListener('message', ({ data }: MessageEvent<Errand>) => self.postMessage(work(data)));
self.postMessage('here');
