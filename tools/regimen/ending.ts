import { carries, exchange, exposureAfter, type World } from '../virtual/world.ts';
import type { Outcome } from './outcome.ts';

interface Last {
  readonly tests: number;
  /** mg of nitrogen poured in all. */
  readonly poured: number;
  /** mg N a day of the animals that come now. */
  readonly load: number;
  /** mg N a day they were planned to bring. */
  readonly challenge: number;
  readonly unfinished?: boolean;
}

/** What came of calling the tank ready: whether it carried three days' load at once, and what the animals met. */
export function ending(world: World, { tests, poured, load, challenge, unfinished = false }: Last): Outcome {
  const wanted = Math.min(2, Math.max(0.5, (3 * challenge) / world.trueLitres));
  const wrong = !unfinished && !carries(world, wanted);
  if (!unfinished) exchange(world, 0.6);
  return {
    day: Math.round(world.day),
    finished: !unfinished,
    tests,
    ammonia: poured / world.believedLitres,
    wrong,
    exposure: unfinished ? 0 : exposureAfter(world, load),
  };
}
