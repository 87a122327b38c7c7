import type { Entry } from '../entry/kinds.ts';
import { dated } from '../entry/order.ts';

/**
 * The journal as it stood at an instant: what had happened by then and was written down by then. An entry made later
 * about an earlier time is hidden too, since nobody could have known of it; so is a later correction.
 */
export function entriesAsOf(entries: Iterable<Entry>, epochMs: number): Entry[] {
  return Array.from(entries).filter((entry) => {
    const { at, recorded } = dated(entry);
    return at <= epochMs && recorded <= epochMs;
  });
}
