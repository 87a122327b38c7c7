import type { TankId } from '@brinewright/journal';
import { ALONE } from '../access/person.ts';
import { FRESH_FOR, freshAnswer, keptAnswer, stands } from '../answers/kept.ts';
import { keptRounds } from '../answers/round.ts';
import { headOf, placeText } from '../entries/heads.ts';
import { dropExport, makeExport } from '../exports/make.ts';
import { forgetFullAllowances } from '../http/shared-limits.ts';
import { sendNoted } from '../reminders/deliver.ts';
import { remindAll } from '../reminders/remind.ts';
import type { Tasks } from './queue.ts';

/** How often to look what people are to be told, ms. */
const REMIND_EVERY = 5 * 60_000;

/** Every kind of slow work. All of it looks first whether it is still needed, so that doing it twice costs little. */
export const tasks: Tasks = {
  /** Reckons a tank's usual answer anew, for the rounds. */
  refit: async (services, subject) => {
    const tank = subject as TankId;
    const head = await headOf(services.database, tank);
    if (head === undefined) return;
    const kept = await keptAnswer(services, tank);
    if (kept !== undefined && stands(kept, placeText(head), services.now())) return;
    await freshAnswer(services, tank, head, true);
  },

  /** Asks for a refit of every tank whose answer no longer stands, and to be asked again. */
  freshen: async (services) => {
    const { store, queue, now, database } = services;
    const rounds = await keptRounds(services, ALONE);
    for (const [tank, head] of await store.heads()) {
      const kept = rounds.get(tank);
      if (kept === undefined || !stands(kept, placeText(head), now())) await queue.add('refit', tank);
    }
    await forgetFullAllowances(database);
    await queue.add('freshen', 'all', now() + FRESH_FOR / 2);
  },

  /** Notes what people are to be told, and asks to be asked again; a server that sends nothing any more lets it be. */
  remind: async (services) => {
    if (services.push === undefined) return;
    await remindAll(services);
    await services.queue.add('remind', 'all', services.now() + REMIND_EVERY);
  },

  /** Sends one message that was noted. */
  push: sendNoted,

  /** Makes a file for someone to take away, and asks to have it removed when its time is over. */
  export: async (services, subject) => {
    const expires = await makeExport(services, subject);
    if (expires !== undefined) await services.queue.add('drop-export', subject, expires);
  },

  'drop-export': dropExport,
};
