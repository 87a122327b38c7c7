import { setImmediate as breathe, setTimeout as pause } from 'node:timers/promises';
import type { Progress } from '@brinewright/evidence';
import type { Io } from './io.ts';

const clearLine = '\r\u001b[2K';
/** How long to go on before hands that have come, and what they found, are heard. */
const sliceMs = 20;

/**
 * Runs a piece of work to its result, waiting where it waits for hands and telling how far it is on one line of a terminal
 * and nowhere else.
 */
export async function follow<Result>(io: Io, work: Generator<Progress, Result>, what = ''): Promise<Result> {
  let next = work.next();
  let shown = '';
  let until = performance.now() + sliceMs;
  while (!next.done) {
    const { fraction, said, until: wait } = next.value;
    const line = `${what}${said}, ${Math.floor(fraction * 100)} %`;
    if (io.errIsTerminal && line !== shown) io.err(clearLine + line);
    shown = line;
    if (wait) await Promise.race([wait, pause(sliceMs)]);
    if (performance.now() > until) {
      await breathe();
      until = performance.now() + sliceMs;
    }
    next = work.next();
  }
  if (io.errIsTerminal && shown !== '') io.err(clearLine);
  return next.value;
}
