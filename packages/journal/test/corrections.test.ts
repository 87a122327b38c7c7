import { type Entry, foldTank, type TankFacts } from '@brinewright/journal';
import { describe, expect, it } from 'vitest';
import { ammonia, entry, id, instant, OPENING, OTHER_TANK, TANK } from './support/build.ts';

const fold = (...entries: readonly Entry[]): TankFacts => {
  const facts = foldTank(entries, TANK);
  expect(foldTank([...entries].reverse(), TANK)).toEqual(facts);
  return facts;
};
const amend = (n: number, of: number, body: Record<string, unknown>, more: object = {}) =>
  entry('amend', { of: id(of), body, ...more }, { n, day: 1, recorded: n });
const strike = (n: number, of: number) => entry('strike', { of: id(of) }, { n, day: 1, recorded: n });
const values = (facts: TankFacts) => facts.readings.map(({ value }) => value);
const codes = (facts: TankFacts) => facts.doubts.map(({ entry: of, code }) => [of, code]);

const reading = ammonia(1, { n: 1 });

describe('amend', () => {
  it('replaces the fields it names and leaves the rest', () => {
    const facts = fold(reading, amend(2, 1, { value: 2.5, dilution: 2 }));
    expect(facts.readings).toMatchObject([
      { analyte: 'ammonia', as: 'N', value: 2.5, dilution: 2, entry: id(1) },
    ]);
    expect(facts.doubts).toEqual([]);
  });

  it('lays several over one another in the order they were written', () => {
    const facts = fold(reading, amend(2, 1, { value: 2, dilution: 5 }), amend(3, 1, { value: 3 }));
    expect(facts.readings).toMatchObject([{ value: 3, dilution: 5 }]);
  });

  it('puts one form of the number in place of another', () => {
    const [range] = fold(reading, amend(2, 1, { between: [1, 2] })).readings;
    expect(range).toMatchObject({ between: [1, 2] });
    expect(range).not.toHaveProperty('value');
  });

  it('puts one form of a dose in place of another, also through an amendment of the amendment', () => {
    const dose = entry('dose', { substance: 'ammonium-chloride', nitrogenMg: 100 }, { n: 1 });
    const facts = fold(dose, amend(2, 1, { grams: 1 }), amend(3, 2, { millilitres: 2.5 }));
    expect(facts.doses).toEqual([
      { substance: 'ammonium-chloride', millilitres: 2.5, entry: id(1), at: OPENING },
    ]);
  });

  it('takes a field away with null', () => {
    const read = entry('reading', { analyte: 'pH', value: 8.1, kit: 'pen' }, { n: 1 });
    expect(fold(read, amend(2, 1, { kit: null })).readings[0]).not.toHaveProperty('kit');
  });

  it('corrects when it happened', () => {
    const facts = fold(reading, ammonia(2, { n: 2, day: 3 }), amend(3, 1, {}, { at: instant(5) }));
    expect(facts.readings.map(({ entry: of, at }) => [of, at])).toEqual([
      [id(2), OPENING + 3 * 86_400_000],
      [id(1), OPENING + 5 * 86_400_000],
    ]);
  });

  it('is left off where it would make nonsense of the entry, and said so', () => {
    const facts = fold(reading, amend(2, 1, { analyte: 'nitrite', as: 'NO3' }), amend(3, 1, { dilution: 2 }));
    expect(facts.readings).toMatchObject([{ analyte: 'ammonia', value: 1, dilution: 2 }]);
    expect(codes(facts)).toEqual([[id(2), 'correction-unsound']]);
    expect(facts.doubts[0]?.message).toContain('nitrite cannot be counted as NO3');
  });

  it('keeps fields it does not know', () => {
    expect(fold(reading, amend(2, 1, { colour: 'pale' })).readings[0]).toHaveProperty('colour', 'pale');
  });

  it('reaches entries of kinds it does not know', () => {
    const later = { ...reading, kind: 'barometer', body: { hPa: 1010 } } as Entry;
    expect(fold(later, amend(2, 1, { hPa: 1013 })).others).toEqual([{ ...later, body: { hPa: 1013 } }]);
  });
});

describe('strike', () => {
  it('takes an entry out', () => {
    expect(fold(reading, strike(2, 1)).readings).toEqual([]);
  });

  it('of an amendment brings the entry back to what it was', () => {
    expect(values(fold(reading, amend(2, 1, { value: 9 }), strike(3, 2)))).toEqual([1]);
  });

  it('of a strike revives, and of that strike takes out again', () => {
    expect(values(fold(reading, strike(2, 1), strike(3, 2)))).toEqual([1]);
    expect(values(fold(reading, strike(2, 1), strike(3, 2), strike(4, 3)))).toEqual([]);
  });

  it('holds where one of two strikes is struck', () => {
    expect(values(fold(reading, strike(2, 1), strike(3, 1), strike(4, 2)))).toEqual([]);
  });

  it('of the statement that opened the tank gives the first entry back its place', () => {
    const opening = entry('tank', { opened: instant(-3) }, { n: 1, day: -3 });
    const facts = fold(opening, ammonia(1, { n: 2, day: 1 }), strike(3, 1));
    expect(facts.opened).toBe(OPENING + 86_400_000);
  });
});

describe('a correction that reaches nothing', () => {
  it('waits for its entry and says so', () => {
    const facts = fold(reading, amend(3, 2, { value: 5 }), strike(5, 3));
    expect(values(facts)).toEqual([1]);
    expect(codes(facts)).toEqual([
      [id(3), 'correction-loose'],
      [id(5), 'correction-loose'],
    ]);
    expect(facts.doubts[0]?.message).toMatch(/waits: the entry .* is not in this tank's journal \(yet\)/);
    expect(values(fold(reading, ammonia(2, { n: 2 }), amend(3, 2, { value: 5 })))).toEqual([1, 5]);
  });

  it('does not reach into another tank', () => {
    const elsewhere = ammonia(2, { n: 2, tank: OTHER_TANK });
    expect(codes(fold(reading, elsewhere, strike(3, 2)))).toEqual([[id(3), 'correction-loose']]);
  });

  it('never holds where corrections run in a circle', () => {
    const facts = fold(reading, strike(2, 3), strike(3, 2), strike(4, 4), amend(5, 4, {}));
    expect(values(facts)).toEqual([1]);
    expect(codes(facts)).toEqual([2, 3, 4, 5].map((n) => [id(n), 'correction-loose']));
    expect(facts.doubts[0]?.message).toContain('the chain of them reaches no entry');
  });

  it('is one of a later version that cannot be read: kept whole', () => {
    const later = { ...strike(2, 1), body: { of: [id(1)] } } as unknown as Entry;
    const facts = fold(reading, later, { ...amend(3, 1, {}), body: { of: id(1) } } as unknown as Entry);
    expect(values(facts)).toEqual([1]);
    expect(facts.others.map((one) => one.id)).toEqual([id(2), id(3)]);
    expect(codes(facts).map(([, code]) => code)).toEqual(['unreadable', 'unreadable']);
  });

  it('does not break the fold however long the chain', () => {
    const chain = Array.from({ length: 20_000 }, (_, n) => strike(n + 2, n + 1));
    const facts = foldTank([reading, ...chain], TANK);
    expect(facts.doubts).toHaveLength(19_500);
  }, 30_000);
});
