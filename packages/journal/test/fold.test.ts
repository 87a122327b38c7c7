import { readFileSync } from 'node:fs';
import {
  type Entry,
  entriesAsOf,
  foldAhead,
  foldJournal,
  foldTank,
  parseJournal,
  type TankFacts,
} from '@brinewright/journal';
import { describe, expect, it } from 'vitest';
import { ammonia, entry, id, instant, OPENING, OTHER_TANK, TANK } from './support/build.ts';

const DAY = 86_400_000;
const fieldStation = parseJournal(
  readFileSync(new URL('./fixtures/field-station.ndjson', import.meta.url), 'utf8'),
).entries;
const codes = (facts: TankFacts) => facts.doubts.map(({ entry: of, code }) => [of, code]);

describe('a tank from its entries', () => {
  it('is the whole scenario of the field station', () => {
    const facts = [...foldJournal(fieldStation).values()].find(({ name }) => name === 'Tide room, tank 3');
    expect(facts).toMatchObject({
      litres: { value: 92.5, sd: 5.55 },
      temperatureC: 25,
      salinity: 34.5,
      route: 'salt+culture',
      opened: Date.UTC(2026, 2, 2, 9),
      setAside: [],
      foods: [],
      others: [],
      doubts: [],
    });
    expect(facts?.kits.get('nitrite-drops')?.steps).toEqual([0, 0.1, 0.3, 0.8, 1.6, 4]);
    expect(facts?.readings).toHaveLength(39);
    expect(facts?.doses.map(({ substance, grams }) => [substance, grams])).toEqual([
      ['ammonium-chloride', undefined],
      ['bicarbonate', 5],
    ]);
    expect(facts?.arrivals[0]?.animals).toHaveLength(2);
    expect(facts?.losses).toHaveLength(1);
    expect(facts?.postures).toHaveLength(1);
  });

  it('is empty without entries', () => {
    expect(foldTank([], TANK)).toMatchObject({
      opened: undefined,
      litres: undefined,
      readings: [],
      doubts: [],
    });
    expect(foldJournal([]).size).toBe(0);
  });

  it('keeps two tanks apart', () => {
    const facts = foldJournal([ammonia(1, { n: 1 }), ammonia(2, { n: 2, tank: OTHER_TANK })]);
    expect(facts.get(TANK)?.readings.map(({ value }) => value)).toEqual([1]);
    expect(facts.get(OTHER_TANK)?.readings.map(({ value }) => value)).toEqual([2]);
  });

  it('overwrites field by field in the order of writing, not of happening', () => {
    const first = entry('tank', { name: 'A', salinity: 35, temperatureC: 24 }, { n: 1, day: 0, recorded: 2 });
    const later = entry('tank', { salinity: 33 }, { n: 2, day: 5, recorded: 1 });
    const facts = foldTank([later, first], TANK);
    expect(facts).toMatchObject({ name: 'A', salinity: 35, temperatureC: 24 });
    expect(facts.statements.map(({ salinity }) => salinity)).toEqual([35, 33]);
  });

  it('opens at its first entry where no opening is stated', () => {
    expect(foldTank([ammonia(1, { n: 1, day: 4 }), ammonia(1, { n: 2, day: 2 })], TANK).opened).toBe(
      OPENING + 2 * DAY,
    );
  });

  it('orders what happened at one instant by when it was written, then by id', () => {
    const entries = [
      ammonia(3, { n: 3, day: 1, recorded: 2 }),
      ammonia(2, { n: 2, day: 1, recorded: 2 }),
      ammonia(1, { n: 9, day: 1, recorded: 1 }),
    ];
    expect(foldTank(entries, TANK).readings.map(({ value }) => value)).toEqual([1, 2, 3]);
  });

  it('declares a kit anew as a whole', () => {
    const old = entry('kit', { kit: 'pen', analyte: 'pH', resolution: 0.1, note: 'old' }, { n: 1 });
    const renewed = entry('kit', { kit: 'pen', analyte: 'pH', resolution: 0.01 }, { n: 2, day: 3 });
    const kit = foldTank([renewed, old], TANK).kits.get('pen');
    expect(kit).toEqual({ kit: 'pen', analyte: 'pH', resolution: 0.01, entry: id(2), at: OPENING + 3 * DAY });
  });

  it('takes one of two contents under one id, the same one in either order, and says so', () => {
    const [one, other] = [ammonia(1, { n: 1 }), ammonia(2, { n: 1 })];
    const facts = foldTank([one, other], TANK);
    expect(codes(facts)).toEqual([[id(1), 'two-contents']]);
    expect(foldTank([other, one, other], TANK)).toEqual(facts);
  });

  it('refuses instants that were never checked', () => {
    expect(() => foldTank([{ ...ammonia(1, { n: 1 }), at: 'noon' }], TANK)).toThrow(
      /"noon" is not an RFC 3339/,
    );
  });
});

describe('what is odd', () => {
  const opening = entry('tank', { opened: instant(0) }, { n: 1 });

  it('is a reading or a deed before the opening; it stays in its list', () => {
    const early = ammonia(1, { n: 2, day: -1.5 });
    const dose = entry('dose', { substance: 'ammonium-chloride' }, { n: 3, day: -1 });
    const facts = foldTank([opening, early, dose], TANK);
    expect(codes(facts)).toEqual([
      [id(2), 'before-opening'],
      [id(3), 'before-opening'],
    ]);
    expect(facts.doubts[0]?.message).toBe(
      'this is dated 1.5 days before the tank was opened. Amend its date, or the opening.',
    );
    expect(facts.readings).toHaveLength(1);
  });

  it('is not a kit or a note before the opening', () => {
    const kit = entry('kit', { kit: 'pen', analyte: 'pH' }, { n: 2, day: -30 });
    const note = entry('note', { text: 'rock rinsed' }, { n: 3, day: -2 });
    expect(foldTank([opening, kit, note], TANK).doubts).toEqual([]);
  });

  it('is an entry written down more than a day before it happened', () => {
    const jumped = ammonia(1, { n: 2, day: 300, recorded: 3 });
    const zone = ammonia(1, { n: 3, day: 4, recorded: 3.1 });
    expect(codes(foldTank([opening, jumped, zone], TANK))).toEqual([[id(2), 'clock']]);
  });

  it('is a year and more without an entry, as a clock reset to 1970 leaves it', () => {
    const reset = ammonia(1, { n: 2, day: -OPENING / DAY });
    const facts = foldTank([reset, ammonia(1, { n: 3, day: 1 })], TANK);
    expect(codes(facts)).toEqual([[id(2), 'gap']]);
    expect(facts.opened).toBe(0);
  });

  it('is a kit no one declared', () => {
    const read = entry('reading', { analyte: 'pH', value: 8, kit: 'pen' }, { n: 2 });
    const facts = foldTank([opening, read], TANK);
    expect(codes(facts)).toEqual([[id(2), 'kit-unknown']]);
    expect(facts.readings).toHaveLength(1);
  });

  it('is a reading in a unit its kit cannot have: it is set aside until someone corrects it', () => {
    const kit = entry('kit', { kit: 'drops', analyte: 'nitrite', as: 'NO2', steps: [0, 1, 2] }, { n: 2 });
    const ion = entry('reading', { analyte: 'nitrite', as: 'N', value: 1, kit: 'drops' }, { n: 3 });
    const analyte = entry('reading', { analyte: 'ammonia', as: 'N', value: 1, kit: 'drops' }, { n: 4 });
    const facts = foldTank([opening, kit, ion, analyte], TANK);
    expect(facts.readings).toEqual([]);
    expect(facts.setAside.map(({ entry: of }) => of)).toEqual([id(3), id(4)]);
    expect(facts.doubts.map(({ message }) => message)).toEqual([
      'the kit "drops" counts nitrite as NO2, not as N; the reading is set aside. Amend the reading, or the kit.',
      'the kit "drops" reads nitrite, not ammonia; the reading is set aside. Amend the reading, or the kit.',
    ]);
    const mended = entry('amend', { of: id(3), body: { as: 'NO2' } }, { n: 5 });
    expect(foldTank([opening, kit, ion, mended], TANK)).toMatchObject({ setAside: [], doubts: [] });
  });

  it('is a number past the end of the card', () => {
    const kit = entry('kit', { kit: 'drops', analyte: 'nitrite', as: 'NO2', steps: [0, 1, 2] }, { n: 2 });
    const past = entry('reading', { analyte: 'nitrite', as: 'NO2', between: [2, 5], kit: 'drops' }, { n: 3 });
    const over = entry('reading', { analyte: 'nitrite', as: 'NO2', over: 2, kit: 'drops' }, { n: 4 });
    expect(codes(foldTank([opening, kit, past, over], TANK))).toEqual([[id(3), 'off-card']]);
  });

  it('is an animal of no known class, and more lost than arrived', () => {
    const arrival = entry('arrival', { animals: [{ class: 'goby_typical', count: 2 }] }, { n: 2, day: 3 });
    const odd = entry('arrival', { animals: [{ class: 'sea dragon', count: 1 }] }, { n: 3, day: 4 });
    const loss = entry('loss', { animals: [{ class: 'goby_typical', count: 3 }] }, { n: 4, day: 5 });
    const facts = foldTank([opening, arrival, odd, loss], TANK);
    expect(codes(facts)).toEqual([
      [id(3), 'class-unknown'],
      [id(4), 'more-lost-than-arrived'],
    ]);
    expect(facts.doubts[1]?.message).toMatch(/^1 more of goby_typical are lost/);
  });

  it('is a volume without its error: a tenth is taken', () => {
    const facts = foldTank([entry('tank', { litres: { value: 200 } }, { n: 1 })], TANK);
    expect(facts.litres).toEqual({ value: 200, sd: 20 });
    expect(codes(facts)).toEqual([[id(1), 'volume-error-assumed']]);
  });

  it('is a specific gravity where a salinity belongs', () => {
    const read = entry('reading', { analyte: 'salinity', value: 1.025 }, { n: 2 });
    const fresh = entry('reading', { analyte: 'salinity', value: 0 }, { n: 3 });
    expect(codes(foldTank([opening, read, fresh], TANK))).toEqual([[id(2), 'gravity-as-salinity']]);
  });

  it('is an entry of a known kind that a later version wrote: kept whole, not reckoned with', () => {
    const later = {
      ...entry('dose', { substance: 'other' }, { n: 2 }),
      body: { substance: 'urea' },
    } as unknown as Entry;
    const facts = foldTank([opening, later], TANK);
    expect(facts.doses).toEqual([]);
    expect(facts.others).toEqual([later]);
    expect(codes(facts)).toEqual([[id(2), 'unreadable']]);
    const mended = entry('amend', { of: id(2), body: { substance: 'other' } }, { n: 3 });
    expect(foldTank([opening, later, mended], TANK)).toMatchObject({
      others: [],
      doses: [{ substance: 'other' }],
    });
  });

  it('is nitrogen dosed with a substance that has none', () => {
    const dose = entry('dose', { substance: 'bicarbonate', nitrogenMg: 20 }, { n: 2 });
    expect(codes(foldTank([opening, dose], TANK))).toEqual([[id(2), 'no-nitrogen-in-substance']]);
  });
});

describe('the journal as of an instant', () => {
  it('hides what happened later and what was written down later', () => {
    const entries = [
      ammonia(1, { n: 1, day: 1 }),
      ammonia(2, { n: 2, day: 2, recorded: 2 }),
      ammonia(3, { n: 3, day: 1, recorded: 4 }),
      entry('strike', { of: id(1) }, { n: 4, day: 3 }),
    ];
    expect(entriesAsOf(entries, OPENING + 2 * DAY).map((one) => one.id)).toEqual([id(1), id(2)]);
    expect(entriesAsOf(entries, OPENING + 4 * DAY)).toEqual(entries);
    expect(entriesAsOf(entries, OPENING)).toEqual([]);
  });
});

describe('folding ahead, entry by entry', () => {
  it('changes nothing in the facts, whatever is wrong with an entry', () => {
    const unreadable = {
      ...ammonia(2, { n: 900, day: 3 }),
      body: { analyte: 'ammonia', value: 'two' },
    } as Entry;
    const unknown = { ...ammonia(2, { n: 901, day: 3 }), kind: 'weather' } as Entry;
    const whole = [...fieldStation.filter(({ tank }) => tank === fieldStation[0]?.tank), unreadable, unknown];
    const fresh = () => whole.map((one) => structuredClone(one)).map((one) => ({ ...one, tank: TANK }));
    const ahead = fresh();
    ahead.forEach(foldAhead);
    expect(foldTank(ahead, TANK)).toEqual(foldTank(fresh(), TANK));
    expect(codes(foldTank(ahead, TANK))).toContainEqual([unreadable.id, 'unreadable']);
  });

  it('judges a body again as another kind', () => {
    const body = { text: 'A note, and nothing but a note.' };
    const note = entry('note', body, { n: 902 });
    const food = { ...entry('note', body, { n: 903 }), kind: 'food', body } as unknown as Entry;
    foldAhead(note);
    expect(codes(foldTank([note, food], TANK))).toEqual([[food.id, 'unreadable']]);
  });
});
