import { readFileSync } from 'node:fs';
import { bodyProblems, KINDS } from '@brinewright/journal';
import { describe, expect, it } from 'vitest';

const published = new URL('../../../schema/journal-1.schema.json', import.meta.url);

describe('the published schema', () => {
  it('describes every kind, and entries of kinds to come', () => {
    const { $defs } = JSON.parse(readFileSync(published, 'utf8'));
    const entries = Object.keys($defs).filter((name) => name.endsWith('Entry'));
    expect(entries).toHaveLength(KINDS.length + 1);
  });

  it('asks for the same fields as the program does', () => {
    const { $defs } = JSON.parse(readFileSync(published, 'utf8'));
    for (const kind of KINDS) {
      const definition = $defs[`${kind.charAt(0).toUpperCase()}${kind.slice(1)}Body`];
      const asked = bodyProblems(kind, {}).filter(({ path }) => path !== 'body');
      expect(asked.map(({ path }) => path.replace('body.', '')).sort()).toEqual(
        [...(definition.required ?? [])].sort(),
      );
    }
  });
});
