import { computed, effect, signal } from '@preact/signals';
import { DEMONSTRATION } from '../demo/plant.ts';
import { inSlices } from '../parts/in-slices.ts';
import { readAhead } from '../rounds/stand.ts';
import { roundsSeen, type ServerRound, serverRounds } from '../state/rounds.ts';
import { sharing } from '../state/sharing.ts';
import { putRounds } from '../state/shelf.ts';
import { ask } from './ask.ts';

/** While the server is still reckoning some of them. */
const WAIT_MS = 10_000;

/** Whether the server lets this page in: before everything is in step, the rounds can be told. */
export const within = signal(false);

/** Asks for the rounds while they are looked at: after each synchronisation, and while some are being reckoned. */
export function followRounds(): void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const look = async () => {
    clearTimeout(timer);
    const all = await rounds();
    if (all?.some(({ current }) => !current) && roundsSeen.peek()) timer = setTimeout(look, WAIT_MS);
  };
  const agreedAt = computed(() => sharing.value.agreedAt);
  effect(() => {
    if (roundsSeen.value && (within.value || agreedAt.value !== null)) void look();
    else clearTimeout(timer);
  });
}

async function rounds(): Promise<readonly ServerRound[] | undefined> {
  try {
    const all = (await ask<readonly ServerRound[]>('GET', '/api/rounds')).filter(
      ({ tank }) => tank !== DEMONSTRATION,
    );
    if (await takeOver(all)) void putRounds(all);
    return all;
  } catch {
    // The next synchronisation says what is wrong; until then the last ones stand, with their age.
    return undefined;
  }
}

/** Puts what is new in the place of what was told before; false where nothing is, and so nothing has to be drawn anew. */
async function takeOver(all: readonly ServerRound[]): Promise<boolean> {
  const before = serverRounds.peek();
  const after = all.map((round) => {
    const known = before.get(round.tank);
    return known?.asOf === round.asOf && known.current === round.current ? known : round;
  });
  const same = after.length === before.size && after.every((round) => before.get(round.tank) === round);
  if (same) return false;
  await inSlices(after, readAhead);
  serverRounds.value = new Map(after.map((round) => [round.tank, round]));
  return true;
}
