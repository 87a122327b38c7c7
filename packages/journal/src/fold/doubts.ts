/** What is odd in a tank's facts: said beside the answer, never corrected silently. */
import { isAnimalClass } from '../entry/classes.ts';
import type { Animals, DoseBody, EntryId, KitBody, ReadingBody } from '../entry/kinds.ts';
import { isKnown } from '../entry/kinds.ts';
import type { Dated } from '../entry/order.ts';
import type { DoubtCode, FactDoubt, Stamped, TankFacts } from './facts.ts';

type Facts = Omit<TankFacts, 'doubts'>;
type Check = (facts: Facts) => Iterable<FactDoubt>;

const DAY = 86_400_000;
/** A device may be a time zone or a day wrong without anyone noticing; more is a clock that jumped. */
const CLOCK_SLACK = DAY;
/** No one leaves a young tank unrecorded this long: longer gaps are mostly a clock that was reset. */
const LONGEST_GAP = 400 * DAY;

const doubt = (entry: EntryId, code: DoubtCode, message: string): FactDoubt => ({ entry, code, message });

export function doubtsOf(facts: Facts, happened: readonly Dated[], openingStated: boolean): FactDoubt[] {
  const found = CHECKS.flatMap((check) => [...check(facts)]);
  return [...found, ...(openingStated ? early(facts) : []), ...clockDoubts(happened)];
}

const CHECKS: readonly Check[] = [kitDoubts, cardDoubts, classDoubts, lossDoubts, waterDoubts, doseDoubts];

/** Why a reading cannot have come off the kit it names; undefined where it can, or the kit is not declared. */
export function contradictsKit(
  reading: Pick<ReadingBody, 'analyte' | 'as' | 'kit'>,
  kits: ReadonlyMap<string, Pick<KitBody, 'analyte' | 'as'>>,
): string | undefined {
  const kit = reading.kit === undefined ? undefined : kits.get(reading.kit);
  if (kit === undefined) return undefined;
  if (kit.analyte !== reading.analyte)
    return `the kit "${reading.kit}" reads ${kit.analyte}, not ${reading.analyte}`;
  if (kit.as !== reading.as)
    return `the kit "${reading.kit}" counts ${kit.analyte} as ${kit.as}, not as ${reading.as}`;
  return undefined;
}

function* kitDoubts(facts: Facts): Generator<FactDoubt> {
  for (const reading of facts.setAside) {
    const message = `${contradictsKit(reading, facts.kits)}; the reading is set aside. Amend the reading, or the kit.`;
    yield doubt(reading.entry, 'kit-mismatch', message);
  }
  for (const { entry, kit } of facts.readings) {
    if (kit === undefined || facts.kits.has(kit)) continue;
    const message = `the kit "${kit}" is declared nowhere, so its card is not known. Add a kit entry for it.`;
    yield doubt(entry, 'kit-unknown', message);
  }
}

function* cardDoubts(facts: Facts): Generator<FactDoubt> {
  for (const { entry, kit, value, between } of facts.readings) {
    const top = facts.kits.get(kit ?? '')?.steps?.at(-1);
    const read = Math.max(value ?? 0, ...(between ?? []));
    if (top === undefined || read <= top) continue;
    const message = `${read} lies past ${top}, the last step of the card of "${kit}". Write it as over ${top}, or dilute.`;
    yield doubt(entry, 'off-card', message);
  }
}

function* classDoubts(facts: Facts): Generator<FactDoubt> {
  for (const { entry, animals } of [...facts.arrivals, ...facts.losses]) {
    for (const group of animals) {
      if (isAnimalClass(group.class)) continue;
      const message = `"${group.class}" is no class of animals known here, so its load is not known. Amend it to one that is, such as fish.`;
      yield doubt(entry, 'class-unknown', message);
    }
  }
}

function* lossDoubts(facts: Facts): Generator<FactDoubt> {
  const left = new Map<string, number>();
  const add = (group: Animals, sign: number): number => {
    const count = (left.get(group.class) ?? 0) + sign * group.count;
    left.set(group.class, Math.max(count, 0));
    return count;
  };
  const arrivals = facts.arrivals.map((one) => ({ ...one, sign: 1 }));
  const losses = facts.losses.map((one) => ({ ...one, sign: -1 }));
  // At the same instant arrivals come first: one that died on the way in was in.
  for (const { entry, animals, sign } of [...arrivals, ...losses].sort(
    (a, b) => a.at - b.at || b.sign - a.sign,
  )) {
    for (const group of animals) {
      const count = add(group, sign);
      if (count >= 0) continue;
      const message = `${-count} more of ${group.class} are lost than had arrived. Add the arrival, or amend the class or count.`;
      yield doubt(entry, 'more-lost-than-arrived', message);
    }
  }
}

function* waterDoubts(facts: Facts): Generator<FactDoubt> {
  for (const { entry, litres, salinity } of facts.statements) {
    if (litres !== undefined && litres.sd === undefined) {
      const message = `the ${litres.value} L are given without their error; a tenth is assumed. Amend litres with an sd.`;
      yield doubt(entry, 'volume-error-assumed', message);
    }
    if (looksLikeGravity(salinity)) yield gravityDoubt(entry, salinity);
  }
  for (const { entry, analyte, value } of facts.readings) {
    if (analyte === 'salinity' && looksLikeGravity(value)) yield gravityDoubt(entry, value);
  }
}

const looksLikeGravity = (value: number | undefined): value is number =>
  value !== undefined && value > 1 && value < 1.05;

const gravityDoubt = (entry: EntryId, value: number): FactDoubt =>
  doubt(
    entry,
    'gravity-as-salinity',
    `a salinity of ${value} is nearly fresh water and looks like a specific gravity. Amend it: 1.026 is about 35.`,
  );

function* doseDoubts(facts: Facts): Generator<FactDoubt> {
  for (const dose of facts.doses) {
    if (!NO_NITROGEN.has(dose.substance) || !claimsNitrogen(dose)) continue;
    const message = `${dose.substance} holds no nitrogen, yet the dose is given in it. Amend the substance or the amount.`;
    yield doubt(dose.entry, 'no-nitrogen-in-substance', message);
  }
}

const NO_NITROGEN: ReadonlySet<string> = new Set([
  'bicarbonate',
  'carbonate',
  'calcium',
  'magnesium',
  'phosphate',
  'binder',
]);

const claimsNitrogen = ({ nitrogenMg = 0, strength, aim }: DoseBody): boolean =>
  nitrogenMg > 0 || strength?.mgNPerMl !== undefined || aim?.as !== undefined;

/** Kits, notes and statements may well be older than the water; nothing else may. */
function* early(facts: Facts): Generator<FactDoubt> {
  const { opened, readings, doses, cultures, foods, exchanges, topoffs, arrivals, losses } = facts;
  const deeds: readonly Stamped<object>[] = [
    ...readings,
    ...doses,
    ...cultures,
    ...foods,
    ...exchanges,
    ...topoffs,
    ...arrivals,
    ...losses,
  ];
  for (const { entry, at } of deeds) {
    if (opened === undefined || at >= opened) continue;
    const message = `this is dated ${days(opened - at)} before the tank was opened. Amend its date, or the opening.`;
    yield doubt(entry, 'before-opening', message);
  }
}

function* clockDoubts(happened: readonly Dated[]): Generator<FactDoubt> {
  for (const [place, { entry, at, recorded }] of happened.entries()) {
    if (at - recorded > CLOCK_SLACK) {
      const message = `this was written down ${days(at - recorded)} before it happened: a clock may have jumped. Amend its date.`;
      yield doubt(entry.id, 'clock', message);
    }
    const next = happened[place + 1];
    if (next === undefined || next.at - at <= LONGEST_GAP || !isKnown(entry)) continue;
    const message = `nothing is dated in the ${days(next.at - at)} after this: a clock may have jumped. Amend the date that is wrong.`;
    yield doubt(entry.id, 'gap', message);
  }
}

const days = (ms: number): string => `${(ms / DAY).toFixed(1)} days`;
