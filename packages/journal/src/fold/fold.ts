import { canonicalText } from '../entry/canonical.ts';
import { instantMs } from '../entry/instant.ts';
import type { BodyOf, Entry, EntryId, Kind, KitBody, TankBody, TankId } from '../entry/kinds.ts';
import { isKnown } from '../entry/kinds.ts';
import { byHappening, byWriting, type Dated, dated, groupedByTank } from '../entry/order.ts';
import { sayProblem } from '../entry/problem.ts';
import { bodyProblems, isSound } from '../entry/validate.ts';
import { correct, type Standing } from './corrections.ts';
import { contradictsKit, doubtsOf } from './doubts.ts';
import type { FactDoubt, Stamped, TankFacts } from './facts.ts';

/** The facts of every tank that has an entry. The order of arrival does not matter. */
export function foldJournal(entries: Iterable<Entry>): ReadonlyMap<TankId, TankFacts> {
  const tanks = [...groupedByTank(entries)].sort(([a], [b]) => (a < b ? -1 : 1));
  return new Map(tanks.map(([tank, own]) => [tank, foldTank(own, tank)]));
}

/**
 * Does what folding does for one entry alone, judging its body and reading its instants, so that a fold later finds it
 * done: for whoever cannot stop for as long as a long journal takes. Changes no answer.
 */
export function foldAhead(entry: Entry): void {
  dated(entry);
  if (isKnown(entry)) isSound(entry.kind, entry.body);
}

/** The facts of one tank; entries of other tanks are passed over. Without an entry of its own all is undefined or empty. */
export function foldTank(entries: Iterable<Entry>, tank: TankId): TankFacts {
  const steps = foldInSteps(entries, tank);
  for (let step = steps.next(); ; step = steps.next()) if (step.done) return step.value;
}

/** The same in steps, for whoever cannot stop for as long as a long journal takes. */
export function* foldInSteps(entries: Iterable<Entry>, tank: TankId): Generator<void, TankFacts> {
  const doubts: FactDoubt[] = [];
  const own = distinct(entries, tank, doubts);
  yield;
  return yield* gather(tank, own, doubts);
}

/**
 * One of each id. Two contents under one id never come out of a file or a store, which refuse them; should they meet
 * here all the same, the one whose canonical text sorts first is taken, so that the order of arrival cannot matter.
 */
function distinct(entries: Iterable<Entry>, tank: TankId, doubts: FactDoubt[]): Dated[] {
  const byId = new Map<EntryId, Entry>();
  const doubted = new Set<EntryId>();
  for (const entry of entries) {
    if (entry.tank !== tank) continue;
    const before = byId.get(entry.id);
    if (before === entry) continue;
    if (before === undefined) {
      byId.set(entry.id, entry);
      continue;
    }
    const [one, other] = [canonicalText(before), canonicalText(entry)];
    if (one !== other) doubted.add(entry.id);
    if (other < one) byId.set(entry.id, entry);
  }
  for (const entry of doubted) doubts.push({ entry, code: 'two-contents', message: TWO_CONTENTS });
  return [...byId.values()].map(dated);
}

const TWO_CONTENTS =
  'two different entries carry this id; one of them was taken. Give the other an id of its own.';

function* gather(
  tank: TankId,
  own: readonly Dated[],
  earlier: readonly FactDoubt[],
): Generator<void, TankFacts> {
  const corrected = correct(own);
  yield;
  const { standing, unreadable } = readable(corrected.standing);
  const doubts = [...corrected.doubts, ...unreadable.map(unreadableDoubt)];
  const happened = [...standing].sort(byHappening);
  const written = [...standing].sort(byWriting);
  yield;
  const kits = kitsOf(written);
  const readings = stampedOf(happened, 'reading');
  const contradicts = (reading: (typeof readings)[number]) => contradictsKit(reading, kits) !== undefined;
  const statement = overwritten(written);
  const facts: Omit<TankFacts, 'doubts'> = {
    tank,
    ...waterOf(statement),
    opened: instantMs(statement.opened ?? '') ?? happened[0]?.at,
    statements: stampedOf(happened, 'tank'),
    kits,
    readings: readings.filter((reading) => !contradicts(reading)),
    setAside: readings.filter(contradicts),
    doses: stampedOf(happened, 'dose'),
    cultures: stampedOf(happened, 'culture'),
    foods: stampedOf(happened, 'food'),
    exchanges: stampedOf(happened, 'exchange'),
    topoffs: stampedOf(happened, 'topoff'),
    arrivals: stampedOf(happened, 'arrival'),
    losses: stampedOf(happened, 'loss'),
    postures: stampedOf(happened, 'posture'),
    notes: stampedOf(happened, 'note'),
    others: [...happened.filter(({ entry }) => !isKnown(entry)), ...unreadable]
      .sort(byHappening)
      .map(asEntry),
  };
  yield;
  const found = doubtsOf(facts, happened, statement.opened !== undefined);
  return { ...facts, doubts: inOrder([...earlier, ...doubts, ...found], own) };
}

/**
 * A store may hold entries that a later version of the program wrote: of a kind known here, yet with something in
 * them that is not. They are kept with the kinds that are not known, and not reckoned with.
 */
function readable(all: readonly Standing[]): { standing: Standing[]; unreadable: Standing[] } {
  const standing: Standing[] = [];
  const unreadable: Standing[] = [];
  for (const one of all) {
    const sound = !isKnown(one.entry) || isSound(one.entry.kind, one.body);
    (sound ? standing : unreadable).push(one);
  }
  return { standing, unreadable };
}

function unreadableDoubt({ entry, body }: Standing): FactDoubt {
  const problem = isKnown(entry) ? bodyProblems(entry.kind, body)[0] : undefined;
  const why = problem === undefined ? '' : ` (${sayProblem(problem)})`;
  const message = `this ${entry.kind} cannot be read by this version of the program${why} and is left out of the reckoning`;
  return { entry: entry.id, code: 'unreadable', message };
}

function stampedOf<K extends Kind>(standing: readonly Standing[], kind: K): Stamped<BodyOf<K>>[] {
  const out: Stamped<BodyOf<K>>[] = [];
  for (const one of standing) if (one.entry.kind === kind) out.push(stamped<BodyOf<K>>(one));
  return out;
}

const stamped = <Body>({ body, entry, at }: Standing): Stamped<Body> =>
  ({ ...body, entry: entry.id, at }) as unknown as Stamped<Body>;

const asEntry = ({ entry, body }: Standing): Entry =>
  body === entry.body ? entry : ({ ...entry, body } as Entry);

/** The kit as it was last declared. */
function kitsOf(written: readonly Standing[]): ReadonlyMap<string, Stamped<KitBody>> {
  const kits = new Map<string, Stamped<KitBody>>();
  for (const kit of stampedOf(written, 'kit')) kits.set(kit.kit, kit);
  return new Map([...kits].sort(([a], [b]) => (a < b ? -1 : 1)));
}

/** Statements about the tank laid over one another field by field, in the order they were written. */
function overwritten(written: readonly Standing[]): TankBody {
  const statements = written.filter(({ entry }) => entry.kind === 'tank');
  return Object.fromEntries(statements.flatMap(({ body }) => Object.entries(body)));
}

/** Relative error taken for a volume stated without one: nominal volumes commonly miss by about a tenth. */
const ASSUMED_VOLUME_ERROR = 0.1;

function waterOf(statement: TankBody) {
  const { name, litres, temperatureC, salinity, pH, alkalinityMeqL, surfaces = [], route } = statement;
  return {
    name,
    litres: litres && { value: litres.value, sd: litres.sd ?? ASSUMED_VOLUME_ERROR * litres.value },
    temperatureC,
    salinity,
    pH,
    alkalinityMeqL,
    surfaces,
    route,
  };
}

function inOrder(doubts: readonly FactDoubt[], own: readonly Dated[]): readonly FactDoubt[] {
  const doubted = new Set(doubts.map(({ entry }) => entry));
  const inTurn = own.filter(({ entry }) => doubted.has(entry.id)).sort(byHappening);
  const places = new Map(inTurn.map(({ entry }, place) => [entry.id, place]));
  const place = (doubt: FactDoubt): number => places.get(doubt.entry) ?? own.length;
  return [...doubts].sort((a, b) => place(a) - place(b) || (a.code < b.code ? -1 : a.code > b.code ? 1 : 0));
}
