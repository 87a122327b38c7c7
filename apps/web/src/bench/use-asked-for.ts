import type { TankId } from '@brinewright/journal';
import { useRef } from 'preact/hooks';
import { lastOf } from '../state/course.ts';
import { now } from '../state/reader.ts';
import { type AskedFor, askedFor } from './kits-on.ts';

/**
 * The kits the orders ask for today. While something is filled in, what was last said stands, so that no row moves
 * away under a thumb.
 */
export function useAskedFor(tank: TankId, held: boolean): readonly AskedFor[] | undefined {
  const orders = lastOf(tank).value?.orders;
  const last = useRef<readonly AskedFor[] | undefined>(undefined);
  if (!held) last.current = orders && askedFor(orders, endOfDay(now.value));
  return last.current;
}

function endOfDay(at: number): number {
  const day = new Date(at);
  day.setHours(23, 59, 59, 999);
  return day.getTime();
}
