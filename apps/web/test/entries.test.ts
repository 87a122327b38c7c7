import { type Entry, parseJournal } from '@brinewright/journal';
import { describe, expect, it } from 'vitest';
import { sayEntry } from '../src/entries/say.ts';
import { diaryLines } from '../src/entries/standing.ts';
import { printFor } from '../src/format/print.ts';

const TANK = '0197c000-0000-7000-8000-0000000000d1';
const metric = printFor({ volume: 'L', temperature: '°C', locale: 'en-GB', timeZone: 'UTC' });
const customary = printFor({ volume: 'gal', temperature: '°F', locale: 'en-US', timeZone: 'UTC' });
const plain = (text: string) => text.replaceAll('\u00a0', ' ');

let made = 0;
const entry = (kind: string, body: object, at = '2026-10-01T09:00:00Z'): Entry => {
  made += 1;
  const id = `0197c000-${String(made).padStart(4, '0')}-7000-8000-0000000000d2`;
  const { entries, problems } = parseJournal(
    `{"journal":1}\n${JSON.stringify({ id, tank: TANK, at, kind, body })}\n`,
  );
  expect(problems).toEqual([]);
  return entries[0]!;
};

describe('every kind of entry is one plain sentence', () => {
  it.each([
    [
      'tank',
      { name: 'Gully', litres: { value: 90, sd: 9 }, opened: '2026-10-01T09:00:00Z' },
      'Opened the tank: named Gully, 90 ± 9 L',
    ],
    ['tank', { temperatureC: 26 }, 'Described the tank: 26 °C'],
    [
      'kit',
      { kit: 'k', analyte: 'nitrite', as: 'NO2', steps: [0, 0.25, 0.5] },
      'Kit for nitrite, card 0 0.25 0.5',
    ],
    [
      'reading',
      { analyte: 'nitrite', as: 'NO2', between: [1, 2], dilution: 5 },
      'Nitrite between 1 and 2 mg/L as NO₂, diluted 1 in 5',
    ],
    ['reading', { analyte: 'nitrate', as: 'NO3', under: 5 }, 'Nitrate under 5 mg/L as NO₃'],
    ['reading', { analyte: 'temperature', value: 25.3 }, 'Temperature 25.3 °C'],
    ['reading', { analyte: 'alkalinity', value: 2.5 }, 'Alkalinity 2.5 meq/L'],
    [
      'dose',
      { substance: 'ammonium-chloride', aim: { analyte: 'ammonia', as: 'N', to: 2 } },
      'Dosed ammonium chloride, to bring ammonia to 2 mg/L as N',
    ],
    ['dose', { substance: 'ammonia-solution' }, 'Dosed ammonia solution, amount not known'],
    [
      'culture',
      { source: 'bottled', litresTreated: 250, note: 'cold' },
      'Added bottled culture, enough for 250 L (cold)',
    ],
    ['food', { what: 'flake', grams: 0.5 }, 'Fed 0.5 g of flake'],
    ['exchange', { fraction: 0.2, salinity: 35 }, 'Changed 20 % for new water: salinity 35'],
    ['exchange', {}, 'Changed water, amount not known'],
    ['topoff', { litres: 3 }, 'Topped off 3 L'],
    [
      'arrival',
      {
        animals: [
          { class: 'small_planktivore_clownfish', count: 2, lengthCm: 4 },
          { class: 'seahorse', count: 1 },
        ],
      },
      'In came 2 clownfish of 4 cm and 1 seahorse',
    ],
    ['loss', { animals: [{ class: 'fish', count: 1 }] }, 'Lost 1 fish'],
    ['posture', { item: 'skimmer', state: 'off' }, 'Skimmer off'],
    ['note', { text: 'The pump rattles.' }, 'The pump rattles.'],
    [
      'lunar',
      { phase: 'full' },
      'An entry of a kind this version does not know: “lunar”. It is kept as it is.',
    ],
  ])('%s %j', (kind, body, said) => {
    expect(plain(sayEntry(entry(kind, body), metric))).toBe(said);
  });

  it('in the reader’s units, with no more figures than were written', () => {
    expect(plain(sayEntry(entry('topoff', { litres: 3 }), customary))).toBe('Topped off 0.793 gal');
    expect(plain(sayEntry(entry('reading', { analyte: 'temperature', value: 25 }), customary))).toBe(
      'Temperature 77 °F',
    );
  });
});

describe('the diary', () => {
  const reading = entry('reading', { analyte: 'nitrite', as: 'NO2', value: 1 });
  const later = entry('note', { text: 'later' }, '2026-10-02T09:00:00Z');
  const strike = entry('strike', { of: reading.id, why: 'wrong tank' }, '2026-10-03T09:00:00Z');

  it('stands newest first and marks what was struck out, with its reason', () => {
    const lines = diaryLines([reading, later, strike]);
    expect(lines.map(({ entry: e }) => e.id)).toEqual([strike.id, later.id, reading.id]);
    expect(lines[2]).toMatchObject({ struck: true, why: 'wrong tank' });
  });

  it('takes a strike back where the strike itself was struck out', () => {
    const back = entry('strike', { of: strike.id }, '2026-10-04T09:00:00Z');
    const lines = diaryLines([reading, strike, back]);
    expect(lines.find(({ entry: e }) => e.id === reading.id)?.struck).toBe(false);
  });

  it('says that an entry was corrected later', () => {
    const amend = entry('amend', { of: reading.id, body: { value: 2 } }, '2026-10-03T09:00:00Z');
    expect(diaryLines([reading, amend]).at(-1)).toMatchObject({ amended: true, struck: false });
  });
});
