import type { Io } from './io.ts';

export interface Step {
  readonly fraction: number;
  readonly said: string;
}

const clearLine = '\r\u001b[2K';

/** Runs a piece of work to its result, telling how far it is on one line of a terminal and nowhere else. */
export function follow<Result>(io: Io, work: Generator<Step, Result>, what = ''): Result {
  let next = work.next();
  let shown = '';
  while (!next.done) {
    const { fraction, said } = next.value;
    const line = `${what}${said}, ${Math.floor(fraction * 100)} %`;
    if (io.errIsTerminal && line !== shown) io.err(clearLine + line);
    shown = line;
    next = work.next();
  }
  if (io.errIsTerminal && shown !== '') io.err(clearLine);
  return next.value;
}
