import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as z from 'zod/mini';
import { entrySchemas, type Kind } from '../src/entry/kinds.ts';

/** As the server has them: compiled, or the reason why not is thrown. */
const compiled = Object.fromEntries(
  Object.entries(entrySchemas).map(([kind, schema]) => [kind, z.compile(schema, { strict: true })]),
);

const sound = readFileSync(new URL('fixtures/field-station.ndjson', import.meta.url), 'utf8')
  .trim()
  .split('\n')
  .slice(1)
  .map((line) => JSON.parse(line) as Record<string, unknown> & { kind: Kind; body: Record<string, unknown> })
  .filter(({ kind }) => kind in entrySchemas);

const odd = fc.constantFrom<unknown>(undefined, null, -1, 0, 1e9, Number.NaN, '', 'x', [], [1, 0], {});

describe('compiled schemas', () => {
  it('judge an entry as they do uncompiled, whichever field is odd', () => {
    fc.assert(
      fc.property(fc.constantFrom(...sound), fc.nat(), fc.boolean(), odd, (entry, nth, inBody, value) => {
        const fields = Object.keys(inBody ? entry.body : entry);
        const field = fields[nth % fields.length] ?? 'value';
        const changed = inBody
          ? { ...entry, body: { ...entry.body, [field]: value } }
          : { ...entry, [field]: value, kind: entry.kind };
        const schema = compiled[entry.kind] as z.ZodMiniType;
        expect(z.validate(schema, changed)).toBe(entrySchemas[entry.kind].safeParse(changed).success);
        expect(z.validate(schema, entry)).toBe(true);
      }),
      { seed: 20_261_126, numRuns: 2000 },
    );
  });
});
