import * as z from 'zod/mini';
import { instantMs } from './instant.ts';

/** Where the schemas keep what the published JSON Schema says beyond their shape. */
export const schemaNotes = z.registry<Record<string, unknown>>();

const UUID = /^[0-9a-fA-F]{8}-[0-9a-fA-F]{4}-[0-9a-fA-F]{4}-[0-9a-fA-F]{4}-[0-9a-fA-F]{12}$/;

/** Any RFC 9562 UUID is read; the ones we make are version 7 (`newEntryId`). Compared in lower case. */
const uuid = () => z.string().check(z.regex(UUID, { abort: true }));

/** Unique in the world: one entry of a journal. */
export const entryId = uuid().brand<'EntryId'>().register(schemaNotes, {
  id: 'EntryId',
  format: 'uuid',
  description: 'UUID (RFC 9562), version 7 when new.',
});
/** Unique in the world: one tank. */
export const tankId = uuid().brand<'TankId'>().register(schemaNotes, {
  id: 'TankId',
  format: 'uuid',
  description: 'UUID (RFC 9562), version 7 when new.',
});

export type EntryId = z.infer<typeof entryId>;
export type TankId = z.infer<typeof tankId>;

/** RFC 3339 text with its offset; `instantMs` reads it. */
export const instant = z
  .string()
  .check(z.refine((text) => instantMs(text) !== undefined, { error: 'not an RFC 3339 instant' }))
  .register(schemaNotes, {
    id: 'Instant',
    format: 'date-time',
    description: 'RFC 3339 instant with its offset.',
  });

/** A finite number within bounds, with its unit for the published schema. */
export const quantity = (unit: string, low: number, high?: number) =>
  z
    .number()
    .check(z.gte(low), ...(high === undefined ? [] : [z.lte(high)]))
    .register(schemaNotes, { description: unit });

/** A finite number greater than zero, with its unit for the published schema. */
export const positive = (unit: string) =>
  z.number().check(z.gt(0)).register(schemaNotes, { description: unit });

export const fraction = (what: string) => quantity(`${what}, a fraction from 0 to 1`, 0, 1);

/**
 * At most (or exactly) one of several fields that exclude one another. One definition for both uses: the check
 * itself, and the same rule in words of JSON Schema.
 */
export function oneFormOf(fields: readonly string[], need: 'exactly one' | 'at most one') {
  const check = z.check<Record<string, unknown>>((context) => {
    const given = fields.filter((field) => context.value[field] !== undefined);
    if (given.length === 1 || (given.length === 0 && need === 'at most one')) return;
    const found = given.length === 0 ? 'none is given' : `${given.join(' and ')} are given`;
    context.issues.push({
      code: 'custom',
      input: context.value,
      path: given.length > 1 ? [given[1] as string] : [],
      message: `needs ${need} of ${fields.join(', ')}; ${found}`,
      params: { code: given.length === 0 ? 'missing' : 'ambiguous', remedy: `Keep ${need} of them.` },
    });
  });
  const forms: object[] = fields.map((field) => ({ required: [field] }));
  if (need === 'at most one') forms.push({ not: { anyOf: forms.slice() } });
  return { check, rule: { oneOf: forms } };
}
