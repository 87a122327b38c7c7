import { bodyProblems, type ReadingBody } from '@brinewright/journal';
import { describe, expect, it } from 'vitest';
import { changed } from '../src/amend/standing.ts';
import { bodyBefore, bodyFrom, type DeedAmendKind, rowOf, valuesOf } from '../src/amend/values.ts';
import { readingOf } from '../src/bench/reading.ts';
import { printFor } from '../src/format/print.ts';

const metric = printFor({ volume: 'L', temperature: '°C', locale: 'en-GB', timeZone: 'UTC' });
const customary = printFor({ volume: 'gal', temperature: '°F', locale: 'en-US', timeZone: 'UTC' });

const deeds: readonly (readonly [DeedAmendKind, Readonly<Record<string, unknown>>])[] = [
  ['dose', { substance: 'ammonium-chloride', aim: { analyte: 'ammonia', as: 'N', to: 2 } }],
  ['dose', { substance: 'ammonium-chloride', nitrogenMg: 400 }],
  ['dose', { substance: 'bicarbonate', grams: 12.5 }],
  ['dose', { substance: 'ammonia-solution', millilitres: 8, strength: { mgNPerMl: 26 } }],
  ['food', { what: 'pellet', grams: 0.6 }],
  ['food', { what: 'frozen' }],
  ['exchange', { litres: 40, salinity: 35, temperatureC: 25, nitrateMgL: 0 }],
  ['exchange', { fraction: 0.15 }],
  ['topoff', { litres: 3 }],
  ['culture', { source: 'bottled', litresTreated: 200, note: 'Cold from the shop.' }],
  ['arrival', { animals: [{ class: 'fish', count: 2, lengthCm: 5 }] }],
  ['loss', { animals: [{ class: 'fish', count: 1 }] }],
  ['posture', { item: 'skimmer', state: 'off' }],
  ['note', { text: 'Two lines.\nOf this.' }],
];

describe('a form opened again', () => {
  it.each(deeds)('says of a %s what was written: %j', (kind, body) => {
    expect(bodyProblems(kind, body)).toEqual([]);
    for (const print of [metric, customary]) {
      const values = valuesOf(kind, body, print);
      expect(values).toBeDefined();
      expect(rounded(bodyFrom(kind, values!, print))).toEqual(rounded(body));
    }
  });

  it('is not offered for what it cannot say', () => {
    const risen = { substance: 'bicarbonate', aim: { analyte: 'alkalinity', by: 0.5 } };
    const two = {
      animals: [
        { class: 'fish', count: 2 },
        { class: 'snail', count: 5 },
      ],
    };
    expect(valuesOf('dose', risen, metric)).toBeUndefined();
    expect(valuesOf('arrival', two, metric)).toBeUndefined();
  });

  const steps = [0.1, 0.25, 0.5, 1, 2, 5];
  const kit = { kit: 'nitrite-drops', analyte: 'nitrite', as: 'NO2', steps } as const;
  const reading = { analyte: 'nitrite', as: 'NO2', kit: 'nitrite-drops' } as const;
  it.each<readonly [ReadingBody]>([
    [{ ...reading, value: 0.5 }],
    [{ ...reading, between: [1, 2], dilution: 5 }],
    [{ ...reading, over: 5 }],
    [{ ...reading, under: 0.1 }],
    [{ ...reading, value: 3 }],
    [{ analyte: 'temperature', value: 25.4 }],
    [{ analyte: 'ammonia', as: 'N', under: 0.05 }],
  ])('says of a reading what was read: %j', (body) => {
    for (const print of [metric, customary]) {
      const row = rowOf(body, body.kit === undefined ? undefined : kit, print);
      expect(row).toBeDefined();
      expect(rounded(readingOf(row!.kit, row!.pick, print) ?? {})).toEqual(rounded(body));
    }
  });
});

describe('what an amendment carries', () => {
  it('is only what is otherwise, and null for what is to go', () => {
    expect(changed({ value: 2, as: 'N' }, { over: 5, as: 'N' })).toEqual({ value: null, over: 5 });
    expect(changed({ animals: [{ count: 1 }] }, { animals: [{ count: 1 }] })).toEqual({});
  });

  it('is everything where the entry left open what the form asks for', () => {
    const open = { substance: 'ammonium-chloride' };
    const values = valuesOf('dose', open, metric)!;
    const after = bodyFrom('dose', { ...values, aim: '2' }, metric);
    expect(changed(bodyBefore('dose', values, metric), after)).toMatchObject({ aim: { to: 2 } });
  });
});

/** Gallons and degrees Fahrenheit there and back leave dust in the sixth figure. */
function rounded(body: object): unknown {
  return JSON.parse(JSON.stringify(body), (_, value) =>
    typeof value === 'number' ? Number(value.toPrecision(4)) : value,
  );
}
