import type { Order } from '@brinewright/counsel';
import { bodyProblems, type EntryId, foldTank } from '@brinewright/journal';
import { describe, expect, it } from 'vitest';
import { Answers, DEEDS } from '../src/bench/deeds.ts';
import {
  arrivedAt,
  EMPTY_DRAFT,
  NO_PICK,
  type Pick,
  recovered,
  tapped,
  tappedBeyond,
} from '../src/bench/draft.ts';
import { expectationOf, isUnexpected, sayExpectation } from '../src/bench/expectation.ts';
import { isFar, whyFar } from '../src/bench/far.ts';
import { Fault } from '../src/bench/fault.ts';
import { askedFor, kitsOn } from '../src/bench/kits-on.ts';
import { type BenchKit, meaningOf, readingOf } from '../src/bench/reading.ts';
import { DEMONSTRATION, plantDemonstration } from '../src/demo/plant.ts';
import { printFor } from '../src/format/print.ts';

const print = printFor({ volume: 'L', temperature: '°C', locale: 'en-GB', timeZone: 'UTC' });
const customary = printFor({ volume: 'gal', temperature: '°F', locale: 'en-US', timeZone: 'UTC' });
const nitrite: BenchKit = {
  kit: 'nitrite-card',
  analyte: 'nitrite',
  as: 'NO2',
  steps: [0, 0.25, 0.5, 1, 2, 5],
};
const nitrate: BenchKit = { kit: 'low', analyte: 'nitrate', as: 'NO3', steps: [2, 5, 10] };
const probe: BenchKit = { kit: undefined, analyte: 'temperature' };
const taps = (...steps: number[]): Pick => steps.reduce(tapped, NO_PICK);

describe('tapping a card', () => {
  it('reads one step, two neighbours as between, and starts anew on a step further off', () => {
    expect(readingOf(nitrite, taps(3), print)).toMatchObject({ value: 1 });
    expect(readingOf(nitrite, taps(4, 3), print)).toMatchObject({ between: [1, 2] });
    expect(readingOf(nitrite, taps(3, 5), print)).toMatchObject({ value: 5 });
    expect(readingOf(nitrite, taps(3, 4, 5), print)).toMatchObject({ value: 5 });
    expect(readingOf(nitrite, taps(3, 3), print)).toBeUndefined();
    expect(readingOf(nitrite, taps(3, 4, 3), print)).toMatchObject({ value: 2 });
  });

  it('reads past either end, and a step takes that back', () => {
    expect(readingOf(nitrite, tappedBeyond(taps(5), 'over'), print)).toEqual({
      analyte: 'nitrite',
      as: 'NO2',
      over: 5,
      kit: 'nitrite-card',
    });
    expect(readingOf(nitrate, tappedBeyond(NO_PICK, 'under'), print)).toMatchObject({ under: 2 });
    expect(readingOf(nitrite, tapped(tappedBeyond(NO_PICK, 'over'), 0), print)).toMatchObject({ value: 0 });
  });

  it('keeps the number as read and says what the water then holds', () => {
    const body = readingOf(nitrite, { ...taps(3), dilution: '5' }, print)!;
    expect(body).toMatchObject({ value: 1, dilution: 5 });
    expect(bodyProblems('reading', body)).toEqual([]);
    expect(meaningOf(body, print)).toBe('5 mg/L as NO₂, 1.5 mg/L as N');
    expect(meaningOf({ analyte: 'ammonia', as: 'N', value: 1 }, print)).toBeUndefined();
  });
});

describe('typing a number', () => {
  it('takes a comma, converts once, and names what is not a number', () => {
    expect(readingOf(probe, { ...NO_PICK, typed: '25,5' }, print)).toEqual({
      analyte: 'temperature',
      value: 25.5,
    });
    expect(readingOf(probe, { ...NO_PICK, typed: '77' }, customary)).toMatchObject({ value: 25 });
    expect(readingOf(probe, { ...NO_PICK, typed: ' ' }, print)).toBeUndefined();
    expect(() => readingOf(probe, { ...NO_PICK, typed: '25 °' }, print)).toThrow(Fault);
    expect(() => readingOf(probe, { ...NO_PICK, typed: '2.5.1' }, print)).toThrow(/Temperature/);
  });
});

describe('what was expected', () => {
  const steps = [0, 0.25, 0.5, 1, 2, 5].map((value, i) => ({
    value,
    probability: [0.01, 0.02, 0.07, 0.5, 0.38, 0.02][i]!,
  }));
  const quantiles = { '0.05': 0.5, '0.25': 1, '0.5': 1, '0.75': 2, '0.95': 2 };
  const card = expectationOf({ analyte: 'nitrite', as: 'NO2', mean: 1.3, quantiles, steps });

  it('is the fewest steps of the card that hold nine readings in ten', () => {
    expect(card).toEqual({ low: 0.5, high: 2, onCard: true });
    expect(sayExpectation(card, print.numbers)).toBe(
      'Expected between 0.5 and 2 on the card (9\u00a0in\u00a010).',
    );
  });

  it('calls a reading unexpected only where all of it lies outside', () => {
    const read = (form: object) => ({ analyte: 'nitrite' as const, as: 'NO2' as const, ...form });
    expect(isUnexpected(read({ value: 5 }), card)).toBe(true);
    expect(isUnexpected(read({ between: [2, 5] }), card)).toBe(false);
    expect(isUnexpected(read({ over: 5 }), card)).toBe(true);
    expect(isUnexpected(read({ under: 0.25 }), card)).toBe(true);
  });
});

describe('a reading far outside', () => {
  const card = (analyte: string, as: string, chances: readonly number[], values: readonly number[]) => {
    const steps = values.map((value, i) => ({ value, probability: chances[i]! }));
    const quantiles = { '0.05': 0, '0.25': 0, '0.5': 0, '0.75': 0, '0.95': 0 };
    return { analyte, as, mean: 0, quantiles, steps };
  };
  const values = [0, 0.25, 0.5, 1, 2, 5];
  const clear = card('nitrite', 'NO2', [0.8, 0.17, 0.01, 0.008, 0.006, 0.006], values);
  const high = card('nitrite', 'NO2', [0.005, 0.005, 0.01, 0.01, 0.47, 0.5], values);
  const ammonia: BenchKit = { kit: 'a', analyte: 'ammonia', as: 'N', steps: [0, 0.25, 0.5, 1, 2, 4] };
  const read = (value: number, dilution?: number) => ({
    analyte: 'nitrite' as const,
    as: 'NO2' as const,
    value,
    ...(dilution === undefined ? {} : { dilution }),
  });
  const why = (...given: Parameters<typeof whyFar> extends [unknown, ...infer R] ? R : never) =>
    whyFar(nitrite, ...given).join(' ');

  it('is told from one that is merely unexpected', () => {
    expect(isFar(read(0), clear)).toBe(false);
    expect(isFar(read(2), clear)).toBe(true);
    expect(isFar(read(0.25), high)).toBe(true);
    const wide = card('nitrite', 'NO2', [0.6, 0.33, 0.04, 0.01, 0.01, 0.01], values);
    expect(isFar(read(0.5), wide)).toBe(false);
  });

  it('asks about the slips that would explain it, and never refuses it', () => {
    expect(why(read(0.5), clear, [], print.numbers)).toContain('0.25 on the card would fit');
    const one = card('nitrite', 'NO2', [0.01, 0.01, 0.02, 0.02, 0.9, 0.04], values);
    expect(why(read(0.5), one, [], print.numbers)).toContain('if the number counts as N');
    expect(why(read(0.5, 1), high, [], print.numbers)).toContain('It would fit diluted 1 in 5');
    const swapped = card('ammonia', 'N', [0.01, 0.01, 0.01, 0.02, 0.9, 0.05], [0, 0.25, 0.5, 1, 2, 4]);
    const said = why(read(2), clear, [{ kit: ammonia, prediction: swapped }], print.numbers);
    expect(said).toContain('in the row of ammonia');
    expect(said).toContain('write it down as you read it');
  });
});

describe('the kits on the bench', () => {
  const facts = foldTank(plantDemonstration(Date.UTC(2026, 10, 24)), DEMONSTRATION);
  const order = (when: string, kits: readonly string[]) =>
    ({
      do: 'test',
      when,
      what: { tests: kits.map((kit) => ({ analyte: 'nitrite', kit, dilution: 5 })) },
    }) as unknown as Order;
  const until = Date.parse('2026-11-24T23:59:59Z');

  it('come first where the orders ask for them today', () => {
    const asked = askedFor([order('2026-11-24T20:00:00Z', ['nitrate-card'])], until);
    expect(asked).toEqual([{ kit: 'nitrate-card', dilution: 5 }]);
    expect(kitsOn(facts, asked).tests.map(({ kit }) => kit)[0]).toBe('nitrate-card');
    expect(
      kitsOn(facts)
        .tests.map(({ analyte }) => analyte)
        .slice(0, 2),
    ).toEqual(['ammonia', 'nitrite']);
  });

  it('are not asked for by a test that is due later', () => {
    expect(askedFor([order('2026-11-26T20:00:00Z', ['nitrate-card'])], until)).toBeUndefined();
  });
});

describe('a draft after its page ended in the middle of writing', () => {
  const id = '0197b000-0000-7000-8000-0000000000e2' as EntryId;
  const draft = {
    ...EMPTY_DRAFT,
    picks: { 'nitrite-card': taps(3) },
    deeds: { note: { text: 'wet floor' } },
    writing: { place: 'tests', ids: [id] },
  };

  it('offers again only what did not arrive', () => {
    expect(recovered(draft, () => true)).toEqual({ ...draft, picks: {}, writing: null });
    expect(recovered(draft, () => false)).toEqual({ ...draft, writing: null });
  });
});

describe('an earlier hour', () => {
  const when = '2025-03-02T18:00';

  it('stays while there is something to write down, and is forgotten by whoever comes to an empty bench', () => {
    const picked = { ...EMPTY_DRAFT, when, picks: { 'nitrite-card': taps(2) } };
    const typed = { ...EMPTY_DRAFT, when, deeds: { food: { grams: '2' } } };
    expect(arrivedAt(picked).when).toBe(when);
    expect(arrivedAt(typed).when).toBe(when);
    expect(
      arrivedAt({ ...EMPTY_DRAFT, when, deeds: { food: {} }, picks: { 'nitrite-card': NO_PICK } }).when,
    ).toBe(null);
  });
});

describe('something done', () => {
  const bodyOf = (kind: string, values: Readonly<Record<string, string>>, printed = print) => {
    const form = DEEDS.find((f) => f.kind === kind)!;
    return form.body(new Answers(form.fields, values), printed);
  };

  it.each([
    ['dose', { aim: '2' }, { substance: 'ammonium-chloride', aim: { analyte: 'ammonia', as: 'N', to: 2 } }],
    [
      'dose',
      { amountAs: 'millilitres', millilitres: '8', strength: '60', substance: 'ammonia-solution' },
      { substance: 'ammonia-solution', millilitres: 8, strength: { mgNPerMl: 60 } },
    ],
    ['dose', { amountAs: 'unknown', aim: '9' }, { substance: 'ammonium-chloride' }],
    ['food', { grams: '0,4' }, { what: 'flake', grams: 0.4 }],
    ['exchange', { sizeAs: 'fraction', share: '20', litres: '7' }, { fraction: 0.2 }],
    ['culture', { source: 'live-rock', note: 'wet' }, { source: 'live-rock', note: 'wet' }],
    ['arrival', { class: 'fish', count: '2' }, { animals: [{ class: 'fish', count: 2 }] }],
    ['posture', { item: 'uv', state: 'off' }, { item: 'uv', state: 'off' }],
    ['note', { text: ' ok ' }, { text: 'ok' }],
  ])('%s %j', (kind, values, body) => {
    const made = bodyOf(kind, values);
    expect(made).toEqual(body);
    expect(bodyProblems(kind as 'dose', made)).toEqual([]);
  });

  it('is kept in litres whatever the reader writes in', () => {
    expect(bodyOf('topoff', { litres: '1' }, customary)).toEqual({ litres: 3.78541 });
  });

  it('names the field that is missing', () => {
    expect(() => bodyOf('topoff', {})).toThrow('Amount is missing.');
    expect(() => bodyOf('arrival', { count: 'two' })).toThrow('How many: that is not a number.');
  });
});
