import { describe, expect, it } from 'vitest';
import { dose, journal, kit, reading, skerryJournal, tank } from './support/journals.ts';
import { shell } from './support/shell.ts';

interface Answer {
  readonly do: string;
  readonly when: string;
  readonly what: Record<string, unknown>;
  readonly say: string;
  readonly because: readonly { readonly fact: string; readonly entry?: string; readonly source?: string }[];
  readonly urgency: string;
}

async function ordersOf(text: string, ...more: string[]): Promise<Answer[]> {
  const { out, code } = await shell(['orders', '-', '--json', ...more], text);
  expect(code).toBe(0);
  return JSON.parse(out);
}

const urgencies = ['now', 'today', 'soon', 'whenever'];

/** Milliseconds a test may take on a busy machine; alone each is done in about one second. */
const patience = 30_000;

describe('orders', { timeout: patience }, () => {
  it('answer a program with the fields of the contract, most urgent first', async () => {
    const orders = await ordersOf(skerryJournal);
    expect(orders.length).toBeGreaterThan(1);
    const ranks = orders.map(({ urgency }) => urgencies.indexOf(urgency));
    expect(ranks).toEqual([...ranks].sort((a, b) => a - b));
    for (const order of orders) {
      expect(Date.parse(order.when)).not.toBeNaN();
      expect(order.say.length).toBeGreaterThan(10);
      expect(order.because.length).toBeGreaterThan(0);
      expect(order.because.every(({ fact }) => fact.length > 0)).toBe(true);
    }
  });

  it('are the same bytes for the same journal and seed', async () => {
    const [one, other] = await Promise.all([
      shell(['orders', '-', '--json'], skerryJournal),
      shell(['orders', '-', '--json'], skerryJournal),
    ]);
    expect(one.out).toBe(other.out);
  });

  it('put an emergency first, with litres, air, food and the hour of the next test', async () => {
    const text = journal(
      tank(2, 'Skerry', { route: 'animals' }),
      kit(3, 'ammonia-drops', 'ammonia', 'N', [0, 0.25, 0.5, 1, 2, 4, 8]),
      { number: 4, day: 0, kind: 'arrival', body: { animals: [{ class: 'fish', count: 6 }] } },
      reading(5, 3, 'ammonia', 'N', 2),
      reading(6, 4, 'ammonia', 'N', 2),
    );
    const [first] = await ordersOf(text);
    expect(first).toMatchObject({ do: 'emergency', urgency: 'now' });
    expect(first?.what).toMatchObject({ stopFeeding: true, aerate: true, retestAfterHours: 1 });
    const { litres } = (first?.what.exchange ?? {}) as { litres?: number };
    expect(litres).toBeGreaterThan(80);
  });

  it('size the first dose for the litres, and the challenge for the load given', async () => {
    const [first] = await ordersOf(journal(tank(2, 'Skerry')));
    expect(first).toMatchObject({ do: 'dose', what: { substance: 'ammonium-chloride' } });
    expect(first?.what.nitrogenMg).toBeGreaterThan(390);
  });

  it('tell a person the urgency, the sentence, the reasons and the cautions', async () => {
    const { out } = await shell(['orders', '-'], journal(tank(2, 'Skerry')));
    expect(out).toMatch(/^Skerry ─+ /);
    expect(out).toContain('today     Feed the bacteria for the first time');
    expect(out).toContain('          – nothing has been fed to this tank yet');
    expect(out).toContain('any time  Look whether these are so');
    expect(out).toContain('bleach plus ammonia gives choking gas');
    expect(out.split('\n').every((line) => line.length <= 80)).toBe(true);
  });

  it('keep to ASCII where asked', async () => {
    const { out } = await shell(['orders', '-', '--plain'], skerryJournal);
    expect(out).toMatch(/^\p{ASCII}+$/u);
  });

  it('refuse a load that is no amount', async () => {
    const { code, err } = await shell(['orders', '-', '--load', 'two fish'], skerryJournal);
    expect(code).toBe(2);
    expect(err).toContain('number above 0');
  });
});

describe('routes', { timeout: patience }, () => {
  it('compare six ways for a tank given by its litres, with prices where they are given', async () => {
    const { out, code } = await shell([
      'routes',
      '--litres',
      '200',
      '--json',
      '--price',
      'test=0.5,culture=12',
    ]);
    expect(code).toBe(0);
    const routes = JSON.parse(out) as { route: string; days: { p50: number }; cost: { p50: number } }[];
    expect(routes.map(({ route }) => route).sort()).toEqual(
      ['animals', 'animals+culture', 'mature-media', 'organic', 'salt', 'salt+culture'].sort(),
    );
    expect(routes.every(({ cost }) => cost.p50 > 0)).toBe(true);
  });

  it('draw when such starts were ready, and say that no animal is needed', async () => {
    const { out } = await shell(['routes', '-'], journal(tank(2, 'Skerry'), dose(3, 0, 424)));
    expect(out).toContain('Ways to start Skerry');
    expect(out).toMatch(/ammonia alone\s+[▁-█ ]+\s+\d+ \(\d+–(\d+|later)\)/);
    expect(out).toContain('No animal is needed to start a tank');
    expect(out.split('\n').every((line) => line.length <= 80)).toBe(true);
  });

  it('ask for the litres where nobody said them', async () => {
    const { code, err } = await shell(['routes']);
    expect(code).toBe(2);
    expect(err).toContain('--litres');
    const wrong = await shell(['routes', '--litres', '200', '--price', 'fish=3']);
    expect(wrong.code).toBe(2);
    expect(wrong.err).toContain('the names being test, culture');
  });
});
