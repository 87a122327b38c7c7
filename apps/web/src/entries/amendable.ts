import type { DiaryLine } from './standing.ts';

/** Kinds that are written on the bench, and so can be opened there again. */
const ON_THE_BENCH = [
  'reading',
  'dose',
  'food',
  'exchange',
  'topoff',
  'culture',
  'arrival',
  'loss',
  'posture',
  'note',
] as const;

export type AmendKind = (typeof ON_THE_BENCH)[number];

/** Whether an entry can be opened in the form it was written with. */
export const canAmend = ({ entry, struck }: DiaryLine): boolean =>
  !struck && ON_THE_BENCH.some((kind) => kind === entry.kind);
