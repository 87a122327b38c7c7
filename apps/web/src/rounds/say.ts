import { words } from '../words/index.ts';
import { untestedDays } from './order.ts';

/** When a tank was last tested, in words. */
export function testedWords(testedAt: number | undefined, now: number): string {
  const of = words.rounds.why;
  return testedAt === undefined ? of.untested : of.tested(Math.floor(untestedDays(testedAt, now)));
}
