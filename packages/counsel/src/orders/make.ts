import { type CautionId, cautionsFor } from '../cautions/cautions.ts';
import { type Bearings, hoursFrom } from './bearings.ts';
import type { Deeds, Do, OrderTo, Reason, Urgency } from './order.ts';

export interface Draft<D extends Do> {
  readonly key: string;
  readonly do: D;
  readonly what: Deeds[D];
  readonly say: string;
  readonly because: readonly (Reason | undefined)[];
  readonly urgency: Urgency;
  readonly holdsWhile: string;
  /** Now where not said. */
  readonly when?: string;
  readonly sure?: number | null;
  readonly lookAgain?: string;
  readonly cautions?: readonly CautionId[];
}

const hoursToLookAgain = { now: 1, today: 24, soon: 48, whenever: 168 } as const;

/** An order from its draft: due now, looked at again as its urgency suggests, unless said otherwise. */
export function order<D extends Do>(bearings: Bearings, draft: Draft<D>): OrderTo<D> {
  const now = hoursFrom(bearings, 0);
  const sure = draft.sure ?? null;
  return {
    key: draft.key,
    do: draft.do,
    when: draft.when ?? now,
    what: draft.what,
    say: draft.say,
    because: draft.because.filter((reason) => reason !== undefined),
    urgency: draft.urgency,
    sure: sure === null ? null : Math.round(100 * sure) / 100,
    holdsWhile: draft.holdsWhile,
    lookAgain: draft.lookAgain ?? hoursFrom(bearings, hoursToLookAgain[draft.urgency]),
    cautions: cautionsFor(draft.cautions ?? []),
  };
}
