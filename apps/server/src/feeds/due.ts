import type { Order, Sheet } from '@brinewright/counsel';
import type { TankId } from '@brinewright/journal';
import { type Person, tanksOf } from '../access/person.ts';
import { type KeptAnswer, keptAnswer, stands } from '../answers/kept.ts';
import { type ProposedOrder, proposals } from '../crew/proposals.ts';
import { headOf, placeText } from '../entries/heads.ts';
import type { Services } from '../services.ts';

/** What is due on one tank, as last reckoned. */
export interface Due {
  readonly tank: TankId;
  readonly name: string;
  /** Epoch milliseconds; undefined where nothing was reckoned yet. */
  readonly asOf: number | undefined;
  readonly sentence: string;
  readonly footing: string;
  readonly orders: readonly Order[];
  /** Orders of mentors that a keeper accepted, and that are not long past. */
  readonly accepted: readonly (ProposedOrder & { readonly id: string; readonly decidedAt: string })[];
}

/** How long an accepted order stays in sight after it was due, ms. */
const IN_SIGHT = 2 * 86_400_000;

/** What is due on every tank someone has a part in; what is out of date is asked to be reckoned anew. */
export async function dueFor(services: Services, person: Person): Promise<readonly Due[]> {
  const all: Due[] = [];
  for (const tank of (await tanksOf(services, person)).keys()) {
    const head = await headOf(services.database, tank);
    if (head === undefined) continue;
    const kept = await keptAnswer(services, tank);
    if (kept === undefined || !stands(kept, placeText(head), services.now()))
      await services.queue.add('refit', tank);
    all.push({ ...saidOf(tank, kept), accepted: await acceptedOf(services, tank) });
  }
  return all.sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : 0));
}

function saidOf(tank: TankId, kept: KeptAnswer | undefined): Omit<Due, 'accepted'> {
  const unnamed = { tank, name: 'Tank without a name', asOf: kept?.asOf, footing: '', orders: [] };
  if (kept === undefined) return { ...unnamed, name: 'A new tank', sentence: 'Not reckoned yet.' };
  if (!kept.reply.ok) return { ...unnamed, sentence: kept.reply.cannot };
  const { sentence, footing } = JSON.parse(kept.reply.sheet) as Sheet;
  const orders = JSON.parse(kept.reply.orders) as Order[];
  return { ...unnamed, name: kept.reply.name ?? unnamed.name, sentence, footing, orders };
}

async function acceptedOf(services: Services, tank: TankId): Promise<Due['accepted']> {
  const since = services.now() - IN_SIGHT;
  return (await proposals(services, tank)).flatMap(({ id, decision, decidedAt, order }) =>
    decision === 'accepted' && decidedAt !== null && Date.parse(order.when) >= since
      ? [{ ...order, id, decidedAt }]
      : [],
  );
}
