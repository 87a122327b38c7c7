import { describe, expect, it } from 'vitest';
import { dose, holmId, journal, kit, type Line, reading, skerryId, tank } from './support/journals.ts';
import { shell } from './support/shell.ts';

const steps = [0, 0.25, 0.5, 1, 2, 4, 8];
const inTank = (id: string, first: number, lines: readonly Line[]): Line[] =>
  lines.map((line, index) => ({ ...line, number: first + index, tank: id }));

const read = (day: number, value: number, kitName: string): Line => ({
  number: 0,
  day,
  kind: 'reading',
  body: { analyte: 'ammonia', as: 'N', kit: kitName, value },
});

/** A settled tank in which one kit shows twice what was poured in, dose after dose. */
const settled = (kitName: string): Line[] =>
  inTank(holmId, 0x100, [
    tank(0, 'Holm', { route: 'salt' }),
    kit(0, kitName, 'ammonia', 'N', steps),
    ...[0, 4, 8, 12, 16].flatMap((day) => [
      dose(0, day + 0.1, 212),
      read(day + 0.15, 2, kitName),
      read(day + 0.19, 2, kitName),
      { number: 0, day: day + 0.2, kind: 'exchange', body: { fraction: 1 } },
    ]),
  ]);

const young = inTank(skerryId, 0x200, [
  tank(0, 'Skerry'),
  kit(0, 'ammonia-drops', 'ammonia', 'N', steps),
  reading(0, 16.9, 'ammonia', 'N', 0),
  dose(0, 17, 212),
]);

async function expected(lines: readonly Line[]): Promise<{ mean: number }> {
  const question = ['predict', '-', '--tank', 'Skerry', '--at', '2025-02-18T15:00:00Z', '--json'];
  const { out, code, err } = await shell(
    [...question, '--analyte', 'ammonia', '--kit', 'ammonia-drops'],
    journal(...lines),
  );
  expect(code, err).toBe(0);
  return JSON.parse(out);
}

describe('a kit used in two tanks', { timeout: 60_000 }, () => {
  it('is known from the other one', async () => {
    const alone = await expected(young);
    const shared = await expected([...settled('ammonia-drops'), ...young]);
    const other = await expected([...settled('another-kit'), ...young]);
    expect(other.mean).toBeCloseTo(alone.mean, 9);
    expect(shared.mean).toBeGreaterThan(alone.mean * 1.1);
  });
});
