import type { ComponentChildren, VNode } from 'preact';
import { useLayoutEffect, useState } from 'preact/hooks';

/**
 * In which order the parts of a sheet are drawn. The course comes before the orders though it stands below them: nobody
 * shall read new advice beside an old course.
 */
export const RANK = { course: 0, orders: 1, ledger: 2, diary: 3 } as const;

interface Turn {
  readonly rank: number;
  readonly draw: () => void;
}

/** What waits to be drawn, the least rank first. */
const turns: Turn[] = [];
let going = false;

/** One after the other, each in a task of its own, so that a tap never waits for more than one. */
function go(): void {
  const turn = turns.shift();
  going = turn !== undefined;
  if (turn === undefined) return;
  turn.draw();
  setTimeout(go);
}

function wait(turn: Turn): void {
  const behind = turns.findIndex(({ rank }) => rank > turn.rank);
  turns.splice(behind < 0 ? turns.length : behind, 0, turn);
  if (going) return;
  going = true;
  setTimeout(go);
}

interface InTurnProps {
  /** What the part is drawn from: it is drawn anew where one of these has become another. */
  readonly from: readonly unknown[];
  /** See `RANK`; parts of one rank are drawn as they come. */
  readonly rank: number;
  readonly children: () => ComponentChildren;
}

/**
 * A part of a long sheet that is drawn in its turn, once the page has breathed. Drawn anew it takes turns again, and until
 * then shows what it showed.
 */
export function InTurn({ from, rank, children }: InTurnProps) {
  // Where there is no page, as in a text of it, nothing takes turns.
  const atOnce = typeof document === 'undefined';
  const [drawn, setDrawn] = useState<VNode | null>(atOnce ? <Drawn of={children} /> : null);
  // Not after the next frame: what a part has of parts of its own is to be drawn before the parts of a higher rank.
  useLayoutEffect(() => {
    const turn = { rank, draw: () => setDrawn(<Drawn of={children} />) };
    wait(turn);
    return () => {
      const at = turns.indexOf(turn);
      if (at >= 0) turns.splice(at, 1);
    };
  }, from);
  return drawn;
}

const Drawn = ({ of }: { of: () => ComponentChildren }) => <>{of()}</>;
