import type { Urgency } from '@brinewright/counsel';
import { DAY_MS } from '../format/dates.ts';
import type { Stand } from './stand.ts';

/** Which tanks of the rounds to show. */
export type Shown = 'all' | 'due' | 'on-the-way' | 'clear' | 'no-date';
/** Which of them first. */
export type First = 'need' | 'ready' | 'untested' | 'name';

export interface Wanted {
  readonly name: string;
  readonly shown: Shown;
  readonly first: First;
}

export const EVERYTHING: Wanted = { name: '', shown: 'all', first: 'need' };

/** The tanks wanted, in the order wanted. */
export function wantedOf(
  stands: readonly Stand[],
  { name, shown, first }: Wanted,
  now: number,
): readonly Stand[] {
  const sought = folded(name);
  const found = stands.filter(
    (stand) => (sought === '' || folded(stand.name ?? '').includes(sought)) && IS[shown](stand, now),
  );
  const rank = RANK[first];
  const ranked = found.map((stand) => ({ stand, rank: rank(stand, now), key: keyOf(stand.name ?? '') }));
  ranked.sort((a, b) => a.rank - b.rank || (a.key < b.key ? -1 : 1));
  return ranked.map(({ stand }) => stand);
}

/** What a name is sorted by, numbers as one counts: made once, where a collator would compare ten thousand times. */
function keyOf(name: string): string {
  const known = keys.get(name);
  if (known !== undefined) return known;
  const key = folded(name).replace(/\d+/g, (digits) => digits.padStart(12, '0'));
  keys.set(name, key);
  return key;
}
const keys = new Map<string, string>();

const folded = (text: string): string => text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase().trim();

const CLEAR: ReadonlySet<string> = new Set(['proving', 'settling', 'kept']);
const startOf = ({ told }: Stand): string | null => told?.course.ready.p05 ?? null;
const isClear = ({ told }: Stand): boolean => told !== undefined && CLEAR.has(told.course.stage);

const IS: Readonly<Record<Shown, (stand: Stand, now: number) => boolean>> = {
  all: () => true,
  due: ({ told }, now) =>
    told?.order !== undefined &&
    (told.order.urgency === 'now' || Date.parse(told.order.when) <= now + DAY_MS / 2),
  'on-the-way': (stand) => startOf(stand) !== null && !isClear(stand),
  clear: isClear,
  'no-date': (stand) => startOf(stand) === null && !isClear(stand),
};

/** Any order of one urgency outranks any neglect of a tank with a lesser one. */
const WEIGHT: Readonly<Record<Urgency, number>> = { now: 3000, today: 2000, soon: 1000, whenever: 0 };

export const untestedDays = (testedAt: number | undefined, now: number): number =>
  testedAt === undefined ? Number.POSITIVE_INFINITY : Math.max(0, (now - testedAt) / DAY_MS);

/** The least rank comes first. */
const RANK: Readonly<Record<First, (stand: Stand, now: number) => number>> = {
  need: ({ told, testedAt }, now) =>
    -(told?.order === undefined ? 0 : WEIGHT[told.order.urgency]) -
    Math.min(untestedDays(testedAt, now), 999),
  ready: (stand) => {
    const middle = stand.told?.course.ready.p50 ?? startOf(stand);
    return middle === null ? Number.MAX_VALUE : Date.parse(middle);
  },
  untested: ({ testedAt }) => testedAt ?? 0,
  name: () => 0,
};
