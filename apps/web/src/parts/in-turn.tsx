import type { ComponentChildren, VNode } from 'preact';
import { useEffect, useState } from 'preact/hooks';

const turns: (() => void)[] = [];
let going = false;

/** One after the other, each in a task of its own, so that a tap never waits for more than one. */
function go(): void {
  const turn = turns.shift();
  going = turn !== undefined;
  if (turn === undefined) return;
  turn();
  setTimeout(go);
}

/**
 * A part of a long sheet that is drawn in its turn: those above it first, each once the page has breathed. Drawn anew it
 * takes turns again, and until then shows what it showed.
 */
export function InTurn({ children }: { children: () => ComponentChildren }) {
  // Where there is no page, as in a text of it, nothing takes turns.
  const atOnce = typeof document === 'undefined';
  const [drawn, setDrawn] = useState<VNode | null>(atOnce ? <Drawn of={children} /> : null);
  useEffect(() => {
    const turn = () => setDrawn(<Drawn of={children} />);
    turns.push(turn);
    if (!going) {
      going = true;
      setTimeout(go);
    }
    return () => {
      const at = turns.indexOf(turn);
      if (at >= 0) turns.splice(at, 1);
    };
  }, [children]);
  return drawn;
}

const Drawn = ({ of }: { of: () => ComponentChildren }) => <>{of()}</>;
