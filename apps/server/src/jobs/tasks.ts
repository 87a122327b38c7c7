import type { TankId } from '@brinewright/journal';
import { FRESH_FOR, freshAnswer, keptAnswer, stands } from '../answers/kept.ts';
import { headOf, placeText } from '../entries/heads.ts';
import type { Tasks } from './queue.ts';

/** Every kind of slow work. All of it looks first whether it is still needed, so that doing it twice costs little. */
export const tasks: Tasks = {
  /** Reckons a tank's usual answer anew, for the rounds. */
  refit: async (services, subject) => {
    const tank = subject as TankId;
    const head = await headOf(services.database, tank);
    if (head === undefined) return;
    const kept = await keptAnswer(services, tank);
    if (kept !== undefined && stands(kept, placeText(head), services.now())) return;
    await freshAnswer(services, tank, head);
  },

  /** Asks for a refit of every tank whose answer no longer stands, and to be asked again. */
  freshen: async (services) => {
    const { store, queue, now } = services;
    for (const [tank, head] of await store.heads()) {
      const kept = await keptAnswer(services, tank);
      if (kept === undefined || !stands(kept, placeText(head), now())) await queue.add('refit', tank);
    }
    await queue.add('freshen', 'all', now() + FRESH_FOR / 2);
  },
};
