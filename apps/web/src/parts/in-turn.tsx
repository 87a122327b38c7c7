import type { ComponentChildren } from 'preact';
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

/** A part of a long sheet that is drawn in its turn: those above it first, each once the page has breathed. */
export function InTurn({ children }: { children: () => ComponentChildren }) {
  const [mine, setMine] = useState(false);
  useEffect(() => {
    const turn = () => setMine(true);
    turns.push(turn);
    if (!going) {
      going = true;
      setTimeout(go);
    }
    return () => {
      const at = turns.indexOf(turn);
      if (at >= 0) turns.splice(at, 1);
    };
  }, []);
  return <>{mine && children()}</>;
}
