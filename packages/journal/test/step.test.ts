import { type Entry, factsOf, foldJournal, nothing, step } from '@brinewright/journal';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ammonia, entry, id, OTHER_TANK, TANK } from './support/build.ts';

const COUNT = 12;
const tank = fc.constantFrom(TANK, TANK, TANK, OTHER_TANK);
const day = fc.integer({ min: -2, max: 40 });
const target = fc.integer({ min: 0, max: COUNT + 1 });
const body = fc.constantFrom(
  { value: 2 },
  { between: [0, 1] },
  { value: null, over: 4 },
  { as: 'NO3' },
  { text: 'x' },
);

/** Journals rich in corrections of corrections, circles and entries that never came. */
const journal: fc.Arbitrary<Entry[]> = fc
  .array(
    fc.record({
      kind: fc.constantFrom(
        'reading',
        'reading',
        'amend',
        'amend',
        'strike',
        'strike',
        'tank',
        'note',
        'later',
      ),
      tank,
      day,
      late: fc.integer({ min: -3, max: 3 }),
      target,
      body,
      salinity: fc.nat(40),
    }),
    { maxLength: COUNT },
  )
  .map((plans) => plans.map((plan, n) => entryOf(plan, n)));

interface Plan {
  readonly kind: string;
  readonly tank: typeof TANK;
  readonly day: number;
  readonly late: number;
  readonly target: number;
  readonly body: Record<string, unknown>;
  readonly salinity: number;
}

function entryOf(plan: Plan, n: number): Entry {
  const when = { n, day: plan.day, recorded: plan.day + plan.late, tank: plan.tank };
  switch (plan.kind) {
    case 'amend':
      return entry('amend', { of: id(plan.target), body: plan.body }, when);
    case 'strike':
      return entry('strike', { of: id(plan.target) }, when);
    case 'tank':
      return entry('tank', { salinity: plan.salinity }, when);
    case 'note':
      return entry('note', { text: String(n) }, when);
    case 'later':
      return { ...entry('note', { text: '' }, when), kind: 'barometer', body: { hPa: 1000 + n } };
    default:
      return ammonia(plan.salinity / 10, when);
  }
}

const shuffled = fc.shuffledSubarray;

describe('adding entry by entry', () => {
  it('comes to the same as folding from scratch, in any order of arrival', () => {
    const case_ = journal.chain((entries) =>
      fc.record({
        entries: fc.constant(entries),
        arrived: shuffled(entries, { minLength: entries.length, maxLength: entries.length }),
      }),
    );
    fc.assert(
      fc.property(case_, ({ entries, arrived }) => {
        const facts = foldJournal(entries);
        expect(foldJournal(arrived)).toEqual(facts);
        expect(factsOf(arrived.reduce(step, nothing))).toEqual(facts);
        expect(factsOf([...arrived, ...entries].reduce(step, nothing))).toEqual(facts);
      }),
      { seed: 20260301, numRuns: 600 },
    );
  }, 60_000);

  it('reckons only the tank an entry belongs to', () => {
    const before = [ammonia(1, { n: 1 }), ammonia(1, { n: 2, tank: OTHER_TANK })].reduce(step, nothing);
    const facts = factsOf(before);
    const after = factsOf(step(before, ammonia(2, { n: 3 })));
    expect(after.get(OTHER_TANK)).toBe(facts.get(OTHER_TANK));
    expect(after.get(TANK)?.readings).toHaveLength(2);
    expect(factsOf(before).get(TANK)?.readings).toHaveLength(1);
  });
});
