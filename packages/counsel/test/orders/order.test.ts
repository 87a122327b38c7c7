import { describe, expect, it } from 'vitest';
import { changes, mostUrgentFirst, type Order } from '../../src/index.ts';

const wait = (key: string, urgency: Order['urgency'], until: string | null = null): Order => ({
  key,
  do: 'wait',
  when: '2025-03-01T09:00:00.000Z',
  what: { until, for: 'nitrite to fall' },
  say: `Wait (${key}).`,
  because: [{ fact: 'nitrite is high' }],
  urgency,
  sure: 0.9,
  holdsWhile: 'nitrite is above 1 mg/L as N',
  lookAgain: '2025-03-02T09:00:00.000Z',
  cautions: [],
});

const emergency: Order = {
  ...wait('welfare:ammonia', 'now'),
  do: 'emergency',
  what: {
    exchange: { litres: 80, share: 0.4, times: 1, salinity: 35, temperatureC: 25, saltGrams: 3000 },
    stopFeeding: true,
    aerate: true,
    retestAfterHours: 1,
  },
  say: 'Ammonia is dangerous.',
};

describe('a list of orders', () => {
  it('puts the most urgent first and leaves what is as urgent in its order', () => {
    const given = [wait('a', 'soon'), wait('b', 'now'), wait('c', 'soon'), wait('d', 'today')];
    expect(mostUrgentFirst(given).map(({ key }) => key)).toEqual(['b', 'd', 'a', 'c']);
  });
});

describe('changes from one list to the next', () => {
  it('are none for the same list', () => {
    const list = [wait('a', 'soon')];
    expect(changes(list, list)).toEqual({ added: [], withdrawn: [], altered: [] });
  });

  it('say what was added, what moved, and what no longer holds', () => {
    const found = changes(
      [wait('a', 'soon'), wait('b', 'soon')],
      [wait('b', 'soon', '2025-03-09T09:00:00.000Z'), wait('c', 'today')],
    );
    expect(found.added.map(({ key }) => key)).toEqual(['c']);
    expect(found.altered.map(({ to }) => to.key)).toEqual(['b']);
    expect(found.withdrawn).toHaveLength(1);
    expect(found.withdrawn[0]?.why).toBe(
      'It stood while nitrite is above 1 mg/L as N; that is no longer so.',
    );
  });

  it('name an emergency as what set the rest aside', () => {
    const { withdrawn } = changes([wait('a', 'soon')], [emergency]);
    expect(withdrawn[0]?.why).toContain('Ammonia is dangerous.');
  });
});
