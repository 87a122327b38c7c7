import {
  type Entry,
  entriesAsOf,
  foldTank,
  instantMs,
  type TankFacts,
  type TankId,
} from '@brinewright/journal';
import { type Io, Refusal } from '../io.ts';
import { tame } from '../paper/text.ts';
import { type JournalFile, readJournal } from './read.ts';

/** Options every question about one tank takes. */
export interface TankOptions {
  readonly tank?: string;
  readonly asOf?: AsOf;
  readonly strict?: boolean;
}

/** An instant in epoch milliseconds, or the present where a person asks for it. */
export type AsOf = number | 'now';

/** One tank as it was known at an instant. */
export interface Tank {
  readonly facts: TankFacts;
  /** Epoch milliseconds. */
  readonly asOf: number;
  /** The journal's other tanks as they were known then: their readings say something of shared kits. */
  readonly others: readonly TankFacts[];
}

/** A tank's name, or its id where it has none. */
export const nameOf = (facts: TankFacts): string => tame(facts.name ?? '') || facts.tank;

/** Reads a journal and finds the one tank asked for; lists the tanks where it cannot tell which. */
export async function readTank(io: Io, path: string, options: TankOptions): Promise<Tank> {
  const file = await readJournal(io, path, options);
  const id = chooseTank(file, options.tank);
  return tankAsOf(io, file, id, options.asOf);
}

/** Every tank of a journal, in order of name. */
export async function readTanks(io: Io, path: string, options: TankOptions): Promise<Tank[]> {
  const file = await readJournal(io, path, options);
  const tanks = tanksOf(file).map((id) => tankAsOf(io, file, id, options.asOf));
  return tanks.sort((a, b) => nameOf(a.facts).localeCompare(nameOf(b.facts), 'en'));
}

const tanksOf = ({ entries }: JournalFile): TankId[] => [...new Set(entries.map(({ tank }) => tank))];

function chooseTank(file: JournalFile, wanted: string | undefined): TankId {
  const ids = tanksOf(file);
  const named = ids.map((id) => ({ id, name: nameOf(foldTank(file.entries, id)) }));
  const list = named.map(({ id, name }) => `  ${id}  ${name}`).join('\n');
  if (wanted === undefined) {
    const [only, ...others] = ids;
    if (only !== undefined && others.length === 0) return only;
    throw new Refusal(
      `${file.name} holds ${ids.length} tanks. Choose one with --tank and its id or name:\n${list}`,
    );
  }
  const sought = wanted.trim().toLowerCase();
  const found = named.filter(({ id, name }) => id.toLowerCase() === sought || name.toLowerCase() === sought);
  if (found.length === 1 && found[0]) return found[0].id;
  const fault = found.length === 0 ? `no tank "${tame(wanted)}"` : `several tanks called "${tame(wanted)}"`;
  throw new Refusal(`${file.name} holds ${fault}. It holds:\n${list}`);
}

/**
 * A tank as it was known at an instant. Without one, everything written is known and the answer is for the last thing
 * that happened: it then depends on the journal alone, not on the clock, nor on how late it was typed in.
 */
function tankAsOf(io: Io, file: JournalFile, id: TankId, asOf: AsOf | undefined): Tank {
  const entries = file.entries.filter(({ tank }) => tank === id);
  const at = asOf === undefined ? lastHappening(entries) : asOf === 'now' ? io.now() : asOf;
  const known = asOf === undefined ? entries : entriesAsOf(entries, at);
  if (known.length === 0)
    throw new Refusal(`${file.name} holds nothing about tank ${id} up to ${new Date(at).toISOString()}.`);
  return { facts: foldTank(known, id), asOf: at, others: othersAsOf(file, id, at) };
}

function othersAsOf(file: JournalFile, id: TankId, at: number): TankFacts[] {
  const known = entriesAsOf(
    file.entries.filter(({ tank }) => tank !== id),
    at,
  );
  return [...new Set(known.map(({ tank }) => tank))].map((tank) => foldTank(known, tank));
}

const lastHappening = (entries: readonly Entry[]): number =>
  entries.reduce((last, { at }) => Math.max(last, instantMs(at) ?? 0), 0);

/** Says what is odd about a tank's entries without stopping for it, and what else a fit of them warns of. */
export function tellDoubts(io: Io, facts: TankFacts, warnings: readonly string[] = []): void {
  const told = new Set(facts.doubts.map(({ message }) => message));
  for (const { entry, message } of facts.doubts)
    io.err(`${nameOf(facts)}: entry ${entry}: ${tame(message)}\n`);
  for (const warning of warnings) if (!told.has(warning)) io.err(`${nameOf(facts)}: ${tame(warning)}\n`);
}
