import type { TankId } from '@brinewright/journal';
import { describe, expect, it } from 'vitest';
import { DAY_MS } from '../src/format/dates.ts';
import { EVERYTHING, type Wanted, wantedOf } from '../src/rounds/order.ts';
import type { Stand, Told } from '../src/rounds/stand.ts';

const now = Date.parse('2026-03-10T09:00:00Z');
const at = (days: number) => new Date(now + days * DAY_MS).toISOString();

const told = (stage: string, ready: number | null, order?: Told['order']): Told => ({
  course: {
    stage,
    ready:
      ready === null
        ? { p05: null, p50: null, p95: null }
        : { p05: at(ready), p50: at(ready + 2), p95: null },
  },
  sentence: '',
  order,
});

function stand(name: string, testedDaysAgo: number | undefined, answer?: Told): Stand {
  const testedAt = testedDaysAgo === undefined ? undefined : now - testedDaysAgo * DAY_MS;
  return { tank: name as TankId, name, testedAt, told: answer, behind: false };
}

const test = (urgency: 'now' | 'today' | 'soon', days: number) => ({ say: 'Test.', when: at(days), urgency });

const ROUNDS = [
  stand('Bench 10', 1, told('nitrite', 5, test('soon', 3))),
  stand('Bench 2', 9, told('ammonia', 20)),
  stand('Café', undefined),
  stand('Gully', 2, told('kept', -30, test('today', 0))),
  stand('Skerry', 1, told('nitrite', null, test('now', 0))),
];

const namesOf = (wanted: Partial<Wanted>) =>
  wantedOf(ROUNDS, { ...EVERYTHING, ...wanted }, now).map(({ name }) => name);

describe('the rounds', () => {
  it('begin with what needs someone first: by the order’s urgency, then by how long nobody tested', () => {
    expect(namesOf({})).toEqual(['Skerry', 'Gully', 'Bench 10', 'Café', 'Bench 2']);
  });

  it('can begin with what is ready first, was not tested longest, or by name as one counts', () => {
    expect(namesOf({ first: 'ready' })).toEqual(['Gully', 'Bench 10', 'Bench 2', 'Café', 'Skerry']);
    expect(namesOf({ first: 'untested' })).toEqual(['Café', 'Bench 2', 'Gully', 'Bench 10', 'Skerry']);
    expect(namesOf({ first: 'name' })).toEqual(['Bench 2', 'Bench 10', 'Café', 'Gully', 'Skerry']);
  });

  it('show what is due today, on its way, clear, or without a date, and lose no tank between them', () => {
    expect(namesOf({ shown: 'due' })).toEqual(['Skerry', 'Gully']);
    expect(namesOf({ shown: 'on-the-way' })).toEqual(['Bench 10', 'Bench 2']);
    expect(namesOf({ shown: 'clear' })).toEqual(['Gully']);
    expect(namesOf({ shown: 'no-date' })).toEqual(['Skerry', 'Café']);
  });

  it('find a tank by a part of its name, written in any case and without its accents', () => {
    expect(namesOf({ name: ' cafe' })).toEqual(['Café']);
    expect(namesOf({ name: 'bench' })).toEqual(['Bench 10', 'Bench 2']);
    expect(namesOf({ name: 'nowhere' })).toEqual([]);
  });
});
