import { type Entry, type EntryId, instantText, type TankId } from '@brinewright/journal';
import * as z from 'zod/mini';
import { keepEntries } from '../entries/keep.ts';
import { Fault } from '../http/problem.ts';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';
import { newId } from './accounts.ts';

/** An order in the form counsel gives them, proposed by a mentor. */
export const proposedOrder = z.object({
  do: z.enum(['test', 'dose', 'exchange', 'posture', 'wait', 'stock', 'prove', 'buffer', 'emergency']),
  when: z.iso.datetime({ offset: true }),
  what: z.record(z.string(), z.unknown()),
  say: z.string().check(z.minLength(1), z.maxLength(500)),
  urgency: z.enum(['now', 'today', 'soon', 'whenever']),
});
export type ProposedOrder = z.infer<typeof proposedOrder>;

export interface Proposal {
  readonly id: string;
  readonly proposedBy: string;
  /** RFC 3339. */
  readonly proposedAt: string;
  readonly order: ProposedOrder;
  readonly decision: 'accepted' | 'declined' | null;
  readonly decidedBy: string | null;
  readonly decidedAt: string | null;
}

interface ProposalRow {
  readonly id: string;
  readonly proposed_by: string;
  readonly proposed_at: number;
  readonly body: string;
  readonly decision: Proposal['decision'];
  readonly decided_by: string | null;
  readonly decided_at: number | null;
}

const COLUMNS = 'id, proposed_by, proposed_at, body, decision, decided_by, decided_at';

export async function propose(
  services: Services,
  tank: TankId,
  by: string,
  order: ProposedOrder,
): Promise<Proposal> {
  const row: ProposalRow = {
    id: newId(services),
    proposed_by: by,
    proposed_at: services.now(),
    body: JSON.stringify(order),
    decision: null,
    decided_by: null,
    decided_at: null,
  };
  await services.database.run(
    'insert into proposal (tank, id, proposed_by, proposed_at, body) values ($1, $2, $3, $4, $5)',
    tank,
    row.id,
    by,
    row.proposed_at,
    row.body,
  );
  return proposalOf(row);
}

/** Newest first. */
export async function proposals({ database }: Services, tank: TankId): Promise<readonly Proposal[]> {
  const rows = await database.all<ProposalRow>(
    `select ${COLUMNS} from proposal where tank = $1 order by proposed_at desc, id desc`,
    tank,
  );
  return rows.map(proposalOf);
}

/**
 * A keeper accepts or declines; the first to decide has decided. What is accepted is written into the tank's journal,
 * as a note that carries the order, so that it is there wherever the journal is.
 */
export async function decide(
  services: Services,
  tank: TankId,
  id: string,
  by: string,
  decision: 'accepted' | 'declined',
): Promise<Proposal> {
  const { database, now } = services;
  const row = await first<ProposalRow>(
    database,
    `update proposal set decision = coalesce(decision, $1), decided_by = coalesce(decided_by, $2),
       decided_at = coalesce(decided_at, $3)
     where tank = $4 and id = $5 returning ${COLUMNS}`,
    decision,
    by,
    now(),
    tank,
    id,
  );
  if (row === undefined) throw new Fault('not-here');
  const proposal = proposalOf(row);
  if (proposal.decision !== decision || proposal.decidedBy !== by)
    throw new Fault('already-so', `It was ${proposal.decision} at ${proposal.decidedAt}.`);
  // The note has the proposal's id, so that deciding again after a failure in between writes it once.
  if (decision === 'accepted')
    await keepEntries(services, [acceptedNote(tank, proposal, row.decided_at ?? 0)]);
  return proposal;
}

function acceptedNote(tank: TankId, { id, order, proposedBy, decidedBy }: Proposal, at: number): Entry {
  const instant = instantText(at);
  return {
    id: id as EntryId,
    tank,
    at: instant,
    recorded: instant,
    ...(decidedBy === null ? {} : { by: decidedBy }),
    kind: 'note',
    body: { text: order.say, order, proposedBy },
  };
}

/** A mentor's remark: a note in the tank's journal, marked as such. */
export async function remark(
  services: Services,
  tank: TankId,
  by: string,
  text: string,
  about: string | undefined,
): Promise<Entry> {
  const at = instantText(services.now());
  const entry: Entry = {
    id: newId(services),
    tank,
    at,
    recorded: at,
    by,
    kind: 'note',
    body: { text, remark: true, ...(about === undefined ? {} : { about }) },
  };
  await keepEntries(services, [entry]);
  return entry;
}

function proposalOf(row: ProposalRow): Proposal {
  const { id, proposed_by, proposed_at, body, decision, decided_by, decided_at } = row;
  return {
    id,
    proposedBy: proposed_by,
    proposedAt: instantText(proposed_at),
    order: JSON.parse(body),
    decision,
    decidedBy: decided_by,
    decidedAt: decided_at === null ? null : instantText(decided_at),
  };
}
