import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { migrationsModule, modulePath } from '../write-migrations.ts';

describe('the numbered SQL', () => {
  it('is in the module as it stands (npx tsx tools/write-migrations.ts)', () => {
    expect(readFileSync(modulePath, 'utf8')).toBe(migrationsModule());
  });
});
