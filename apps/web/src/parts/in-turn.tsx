import type { ComponentChildren, VNode } from 'preact';
import { useLayoutEffect, useState } from 'preact/hooks';
import { breathe } from './in-slices.ts';

/**
 * In which order the parts of a sheet are drawn. The course comes before the orders though it stands below them: nobody
 * shall read new advice beside an old course. What is about to be replaced comes `late`, and so is mostly never drawn.
 */
export const RANK = { course: 0, orders: 1, ledger: 2, diary: 3, late: 4 } as const;

interface Turn {
  readonly rank: number;
  readonly draw: () => void;
}

/** What waits to be drawn, the least rank first. */
const turns: Turn[] = [];
let going = false;

/** How long to draw before the page may breathe: a frame between any two parts costs more than the parts. */
const SLICE_MS = 20;

/** One after the other, so that a tap never waits for more than a slice and the part it ends in. */
async function go(): Promise<void> {
  going = true;
  await shown();
  let until = performance.now() + SLICE_MS;
  for (let turn = turns.shift(); turn !== undefined; turn = turns.shift()) {
    turn.draw();
    // It is drawn, and parts of its own wait in line, once what was put off until now is done.
    await undefined;
    if (performance.now() < until) continue;
    await breathe();
    until = performance.now() + SLICE_MS;
  }
  going = false;
}

/** Resolves once what was drawn so far is on the screen, and after whatever came in meanwhile. */
const shown = () => new Promise(requestAnimationFrame).then(breathe);

function wait(turn: Turn): void {
  const behind = turns.findIndex(({ rank }) => rank > turn.rank);
  turns.splice(behind < 0 ? turns.length : behind, 0, turn);
  if (!going) void go();
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
