/** Writes the published schemas from the definitions that validate: `npx tsx tools/write-schemas.ts`. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { journalJsonSchema } from '@brinewright/journal';

const schemas: Readonly<Record<string, () => object>> = {
  'journal-1.schema.json': journalJsonSchema,
};

const folder = fileURLToPath(new URL('../schema/', import.meta.url));
mkdirSync(folder, { recursive: true });
for (const [file, make] of Object.entries(schemas)) {
  writeFileSync(`${folder}${file}`, `${JSON.stringify(make(), null, 2)}\n`);
  process.stdout.write(`schema/${file}\n`);
}
