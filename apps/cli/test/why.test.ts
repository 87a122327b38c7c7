import { describe, expect, it } from 'vitest';
import { dose, journal, kit, reading, tank } from './support/journals.ts';
import { shell } from './support/shell.ts';

const still = journal(
  tank(2, 'Skerry', { route: 'salt+culture', temperatureC: 25 }),
  kit(3, 'ammonia-drops', 'ammonia', 'N', [0, 0.25, 0.5, 1, 2, 4, 8]),
  kit(4, 'nitrite-drops', 'nitrite', 'NO2', [0, 0.25, 0.5, 1, 2, 5]),
  dose(5, 0.1, 400),
  { number: 6, day: 0.1, kind: 'culture', body: { source: 'bottled' } },
  ...[4, 8, 12, 16, 20].flatMap((day, i) => [
    reading(10 + 2 * i, day, 'ammonia', 'N', 2),
    reading(11 + 2 * i, day, 'nitrite', 'NO2', 0),
  ]),
);

describe('why', { timeout: 60_000 }, () => {
  it('answers a program with every explanation, likeliest first, summing to one', async () => {
    const { out, code } = await shell(['why', '-', '--json'], still);
    expect(code).toBe(0);
    const causes: { cause: string; probability: number; advice: { remedy: string } }[] = JSON.parse(out);
    expect(causes[0]?.cause).toBe('STL-DEAD');
    expect(causes[0]?.advice.remedy).toContain('bacteria');
    expect(causes.reduce((sum, { probability }) => sum + probability, 0)).toBeCloseTo(1, 6);
    expect((await shell(['why', '-', '--json'], still)).out).toBe(out);
  });

  it('tells a person the chance, what would tell, and what to do', async () => {
    const { out } = await shell(['why', '-', '--plain'], still);
    expect(out).toMatch(/\d+ % {2}the culture was dead/);
    expect(out).toContain('To tell: ');
    expect(out).toContain('If so: ');
    expect(out).toMatch(/something else of the \d+ looked at/);
    expect(out.split('\n').every((line) => line.length <= 80)).toBe(true);
  });
});
