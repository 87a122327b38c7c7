import * as z from 'zod/mini';
import { entrySchemas, envelope, KINDS } from '../entry/kinds.ts';
import { schemaNotes } from '../entry/primitives.ts';
import { JOURNAL_VERSION } from './parse.ts';

/**
 * JSON Schema (2020-12) of one line of a journal file, made from the very schemas that validate it. What a schema
 * cannot say (which ion an analyte may be counted as, that the card's steps rise) only the program checks.
 */
export function journalJsonSchema(): Record<string, unknown> {
  const header = z
    .object({ journal: z.literal(JOURNAL_VERSION) })
    .register(schemaNotes, { id: 'Header', description: 'The first line of the file.' });
  const known = KINDS.map((kind) =>
    z
      .clone(entrySchemas[kind])
      .register(schemaNotes, { id: `${kind.charAt(0).toUpperCase()}${kind.slice(1)}Entry` }),
  );
  const later = z.clone(envelope).register(schemaNotes, {
    id: 'LaterKindEntry',
    description: 'An entry of a kind from a later version: kept and passed through.',
    not: { properties: { kind: { enum: KINDS } } },
  });
  const line = z.union([header, ...known, later]);
  return {
    ...z.toJSONSchema(line, { target: 'draft-2020-12', io: 'input', metadata: schemaNotes }),
    $id: `urn:brinewright:journal:${JOURNAL_VERSION}`,
    title: `Brinewright journal, version ${JOURNAL_VERSION}: one line`,
    description:
      'A journal file is UTF-8 text of one JSON object a line: a header, then entries in any order. Units are fixed: ' +
      'litres, grams, mg/L, °C, practical salinity, meq/L, days. Further fields are allowed and kept.',
  };
}
