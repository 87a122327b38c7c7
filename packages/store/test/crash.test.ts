import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Entry, readAll } from '@brinewright/journal';
import { sqliteStore } from '@brinewright/store/sqlite';
import Database from 'libsql';
import { afterAll, describe, expect, it } from 'vitest';
import { batch } from './support/batches.ts';

const folder = mkdtempSync(join(tmpdir(), 'brinewright-crash-'));
const appender = fileURLToPath(new URL('./support/appender.ts', import.meta.url));

afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Starts the appender, lets it confirm a batch, and kills it so many milliseconds later. */
function killedAfter(path: string, first: number, milliseconds: number): Promise<number[]> {
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, ['--import', 'tsx', appender, path, String(first)], {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    let out = '';
    child.stdout.once('data', () => setTimeout(() => child.kill('SIGKILL'), milliseconds));
    child.stdout.on('data', (chunk) => {
      out += chunk;
    });
    child.once('error', reject);
    child.once('close', () => resolve(out.split('\n').slice(0, -1).map(Number)));
  });
}

const textOf = (entry: Entry): string => ('text' in entry.body ? String(entry.body.text) : '');

/** Delays from a linear congruential generator (Numerical Recipes constants), so that every run kills alike. */
function delays(seed: number, count: number): number[] {
  let state = seed;
  return Array.from({ length: count }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state / 2 ** 32) * 120;
  });
}

// A killed process is what this shows. That a confirmed entry also outlives a power cut rests on the database's
// full synchronisation and on a disk that does not lie about it; neither can be tested here.
describe('a SQLite journal whose program is killed in mid-write', () => {
  it('holds every confirmed batch, and none by half', async () => {
    const path = join(folder, 'journal.db');
    const confirmed = new Set<number>();
    let first = 0;
    for (const delay of delays(20260301, 8)) {
      for (const number of await killedAfter(path, first, delay)) confirmed.add(number);

      const db = new Database(path);
      expect(db.prepare('pragma integrity_check').pluck().all()).toEqual(['ok']);
      db.close();

      const store = sqliteStore(path);
      const found = new Map<number, number>();
      for await (const entry of readAll(store)) {
        const number = Number(textOf(entry).split(' ')[0]);
        found.set(number, (found.get(number) ?? 0) + 1);
      }
      await store.close();
      for (const number of confirmed) expect(found.has(number)).toBe(true);
      for (const [number, count] of found) expect(count).toBe(batch(number).length);
      first = Math.max(...found.keys()) + 1;
    }
    expect(confirmed.size).toBeGreaterThan(50);
  }, 120_000);
});
