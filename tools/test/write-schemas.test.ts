import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import type * as z from 'zod/mini';
import { courseAnswer, ordersAnswer, predictAnswer } from '../schemas/answers.ts';
import { folder, schemaFiles } from '../write-schemas.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));
const journal = 'packages/journal/test/fixtures/field-station.ndjson';
const tank = 'Tide room, tank 3';

function answer(...args: string[]): unknown {
  const command = ['--import', 'tsx', 'apps/cli/src/main.ts', ...args, '--tank', tank, '--json'];
  return JSON.parse(execFileSync(process.execPath, command, { cwd: root, encoding: 'utf8' }));
}

const faults = (schema: z.ZodMiniType, data: unknown) =>
  (schema.safeParse(data).error?.issues ?? []).map(({ path, code }) => `${path.join('.')} ${code}`);

describe('the published schemas', () => {
  it('are up to date (npx tsx tools/write-schemas.ts)', () => {
    for (const [file, text] of schemaFiles()) expect(readFileSync(`${folder}${file}`, 'utf8')).toBe(text);
  });

  it('hold for the answers given', { timeout: 60_000 }, () => {
    expect(faults(courseAnswer, answer('course', journal))).toEqual([]);
    const asked = ['--at', '2026-03-10T09:00:00Z', '--analyte', 'ammonia', '--kit', 'ammonia-drops'];
    expect(faults(predictAnswer, answer('predict', journal, ...asked))).toEqual([]);
  });

  it('hold for an order, and not for half of one', () => {
    const order = {
      do: 'dose',
      when: '2026-03-10T09:00:00Z',
      what: { substance: 'ammonium-chloride', nitrogenMg: 185, grams: 0.71 },
      say: 'Add 0.71 g of ammonium chloride.',
      because: [{ fact: 'ammonia has been gone for two days' }],
      urgency: 'today',
    };
    expect(faults(ordersAnswer, [order])).toEqual([]);
    const { say: _, ...half } = order;
    expect(faults(ordersAnswer, [half])).toEqual(['0.say invalid_type']);
  });
});
