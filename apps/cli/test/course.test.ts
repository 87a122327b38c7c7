import { describe, expect, it } from 'vitest';
import {
  dose,
  holmId,
  journal,
  lineText,
  reading,
  skerryId,
  skerryJournal,
  tank,
} from './support/journals.ts';
import { shell } from './support/shell.ts';

const fit = 30_000;

describe('course --json', () => {
  it('answers with everything the contract names, and nothing else on standard output', {
    timeout: fit,
  }, async () => {
    const { out, code } = await shell(['course', '-', '--json'], skerryJournal);
    expect(code).toBe(0);
    const answer = JSON.parse(out);
    expect(Object.keys(answer)).toEqual(['tank', 'asOf', 'stage', 'ready', 'series', 'capacity', 'fit']);
    expect(answer.tank).toBe(skerryId);
    expect(answer.asOf).toBe('2025-02-14T09:00:00.000Z');
    expect(['ammonia', 'nitrite']).toContain(answer.stage);
    expect(Date.parse(answer.ready.p05)).toBeLessThan(Date.parse(answer.ready.p50));
    expect(answer.series.map((each: { analyte: string }) => each.analyte)).toEqual([
      'ammonia',
      'nitrite',
      'nitrate',
    ]);
    for (const { points } of answer.series) {
      expect(points[0].at).toBe('2025-02-01T09:00:00.000Z');
      expect(Date.parse(points.at(-1).at)).toBeGreaterThanOrEqual(Date.parse('2025-05-15T09:00:00Z'));
      for (const { p05, p25, p50, p75, p95 } of points)
        expect(0 <= p05 && p05 <= p25 && p25 <= p50 && p50 <= p75 && p75 <= p95).toBe(true);
    }
    expect(answer.capacity.ammonia.unit).toBe('mg N/L/d');
    expect(answer.fit.readingsUsed).toBe(7);
  });

  it('gives the same bytes for the same journal and seed, in whatever order its lines stand', {
    timeout: fit,
  }, async () => {
    const [first, ...lines] = skerryJournal.trimEnd().split('\n');
    const turned = [first, ...lines.reverse(), ''].join('\n');
    const args = ['course', '-', '--json', '--seed', '7'];
    const once = await shell(args, skerryJournal);
    expect((await shell(args, turned)).out).toBe(once.out);
    expect((await shell([...args, '--seed', '8'], skerryJournal)).out).not.toBe(once.out);
  });

  it('hides what came after --as-of', { timeout: fit }, async () => {
    const upTo = '2025-02-10T09:00:00Z';
    const known = skerryJournal.split('\n').filter((line) => !line.includes('2025-02-14'));
    const hidden = await shell(['course', '-', '--json', '--as-of', upTo], skerryJournal);
    const absent = await shell(['course', '-', '--json', '--as-of', upTo], known.join('\n'));
    expect(hidden.out).toBe(absent.out);
    expect(JSON.parse(hidden.out).fit.readingsUsed).toBe(5);
  });

  it('reads the rest of a file with bad lines and tells each on standard error', {
    timeout: fit,
  }, async () => {
    const lines = skerryJournal.trimEnd().split('\n');
    const bad = [...lines, 'tested, all fine', lineText(dose(90, 13, -4)), '{"id":'].join('\n');
    const { out, err, code } = await shell(['course', '-', '--json'], bad);
    expect(code).toBe(0);
    expect(JSON.parse(out).fit.readingsUsed).toBe(7);
    for (const place of ['line 15:', 'line 16, body.nitrogenMg:', 'line 17:']) expect(err).toContain(place);
  });

  it('takes one of several tanks by id or by name', { timeout: fit }, async () => {
    const both = skerryJournal + lineText(tank(80, 'Holm', {}, holmId));
    const byName = await shell(['course', '-', '--json', '--tank', 'holm'], both);
    const byId = await shell(['course', '-', '--json', '--tank', holmId], both);
    expect(JSON.parse(byName.out).tank).toBe(holmId);
    expect(byId.out).toBe(byName.out);
  });

  it('gives a tank that was never fed no ready date, and says why', { timeout: fit }, async () => {
    const clear = journal(
      tank(2, 'Skerry'),
      reading(8, 20, 'ammonia', 'N', 0),
      reading(9, 20, 'nitrite', 'NO2', 0),
    );
    const { out, err } = await shell(['course', '-', '--json'], clear);
    const { ready, fit: report } = JSON.parse(out);
    expect([ready.p05, ready.p50, ready.p95]).toEqual([null, null, null]);
    expect(report.warnings.join(' ')).toMatch(/no ready date/);
    expect(err).toMatch(/no ready date/);
  });
});

describe('predict --json', () => {
  it('gives each step of the card its probability', { timeout: fit }, async () => {
    const args = [
      'predict',
      '-',
      '--json',
      '--at',
      '2025-02-20T09:00:00Z',
      '--analyte',
      'nitrite',
      '--kit',
      'nitrite-drops',
    ];
    const { out, code } = await shell(args, skerryJournal);
    expect(code).toBe(0);
    const { analyte, as, steps, quantiles } = JSON.parse(out);
    expect({ analyte, as }).toEqual({ analyte: 'nitrite', as: 'NO2' });
    expect(steps.map((step: { value: number }) => step.value)).toEqual([0, 0.25, 0.5, 1, 2, 5]);
    const total = steps.reduce((sum: number, step: { probability: number }) => sum + step.probability, 0);
    expect(total).toBeCloseTo(1, 3);
    expect(quantiles['0.05']).toBeLessThanOrEqual(quantiles['0.95']);
  });

  it('refuses an instant before the tank was opened', { timeout: fit }, async () => {
    const args = [
      'predict',
      '-',
      '--at',
      '2025-01-01T09:00:00Z',
      '--analyte',
      'nitrite',
      '--kit',
      'nitrite-drops',
    ];
    const { out, err, code } = await shell(args, skerryJournal);
    expect({ out, code }).toEqual({ out: '', code: 1 });
    expect(err).toContain('before the tank was opened');
  });
});

describe('rounds', () => {
  it('gives every tank of a journal a line, in order of name', { timeout: fit }, async () => {
    const both = skerryJournal + lineText(tank(80, 'Holm', {}, holmId));
    const { out, code } = await shell(['rounds', '-', '--json'], both);
    expect(code).toBe(0);
    expect(JSON.parse(out).map(({ name }: { name: string }) => name)).toEqual(['Holm', 'Skerry']);
  });
});
