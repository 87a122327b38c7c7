/// <reference path="../vite-env.d.ts" />
import type { Entry, TankId } from '@brinewright/journal';
import { parseJournal, sayProblem } from '@brinewright/journal';
import { DAY_MS, instantHere } from '../format/dates.ts';
import text from './skerry.ndjson?raw';

/** Skerry, a teaching tank of an imagined coastal field station. */
export const DEMONSTRATION = '0197a000-0000-7000-8000-0000000000a1' as TankId;

/**
 * The demonstration's entries, moved by whole days so that the last lies within a day before `now`, at the hours they
 * were written for, where the reader is.
 * @throws Error where the file that comes with the program is not sound
 */
export function plantDemonstration(now = Date.now()): readonly Entry[] {
  const { entries, problems } = parseJournal(text);
  if (problems.length > 0) throw new Error(problems.map(sayProblem).join('\n'));
  const last = Math.max(...entries.map(({ at }) => here(at, 0)));
  const days = Math.floor((now - last) / DAY_MS);
  const moved = (instant: string) => instantHere(here(instant, days));
  return entries.map((entry) => ({
    ...entry,
    at: moved(entry.at),
    recorded: moved(entry.recorded ?? entry.at),
    ...(entry.kind === 'tank' ? { body: withOpening(entry.body, moved) } : {}),
  }));
}

/** So many days later at the same hour on the clock, here. */
function here(instant: string, days: number): number {
  const [year = 0, month = 1, day = 1, hour = 0, minute = 0] = instant.split(/\D/).map(Number);
  return new Date(year, month - 1, day + days, hour, minute).getTime();
}

function withOpening(body: Entry['body'], moved: (instant: string) => string): Entry['body'] {
  const opened = (body as Readonly<Record<string, unknown>>).opened;
  return typeof opened === 'string' ? { ...body, opened: moved(opened) } : body;
}
