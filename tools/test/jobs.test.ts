import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../..', import.meta.url));
const text = readFileSync(`${root}docs/jobs.md`, 'utf8');
const rows = text
  .split('\n')
  .filter((line) => line.startsWith('| JOB-'))
  .map((line) => line.split('|').map((cell) => cell.trim()))
  .map(([, id = '', job = '', state = '', where = '', tests = '']) => ({ id, job, state, where, tests }));

const named = (cell: string): string[] => [...cell.matchAll(/`([^`]+)`/g)].map(([, path = '']) => path);

describe('the list of jobs', () => {
  it('holds all 85, in order', () => {
    const ids = Array.from({ length: 85 }, (_, index) => `JOB-${String(index + 1).padStart(3, '0')}`);
    expect(rows.map(({ id }) => id)).toEqual(ids);
  });

  it.each(rows)('$id: $job', ({ state, where, tests }) => {
    expect(['served', 'in part', 'not yet']).toContain(state);
    if (state === 'not yet') {
      expect(tests).toBe('');
      return;
    }
    expect(where).not.toBe('');
    expect(named(tests).length).toBeGreaterThan(0);
    for (const path of named(tests)) {
      expect(path).toMatch(/[.]test[.]tsx?$/);
      expect(existsSync(root + path), path).toBe(true);
    }
  });

  it('counts what it says it counts', () => {
    const count = (state: string): number => rows.filter((row) => row.state === state).length;
    expect(text).toContain(
      `${count('served')} served, ${count('in part')} in part, ${count('not yet')} not yet`,
    );
  });
});
