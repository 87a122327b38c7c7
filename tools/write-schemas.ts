/** Writes the published schemas from the definitions that validate: `npx tsx tools/write-schemas.ts`. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { journalJsonSchema } from '@brinewright/journal';
import { answerJsonSchema, courseAnswer, ordersAnswer, predictAnswer } from './schemas/answers.ts';

export const folder = fileURLToPath(new URL('../schema/', import.meta.url));

/** Every published schema by the name of its file, as its text. */
export function schemaFiles(): ReadonlyMap<string, string> {
  const schemas: Readonly<Record<string, object>> = {
    'journal-1.schema.json': journalJsonSchema(),
    'course-1.schema.json': answerJsonSchema('course', courseAnswer),
    'predict-1.schema.json': answerJsonSchema('predict', predictAnswer),
    'orders-1.schema.json': answerJsonSchema('orders', ordersAnswer),
  };
  return new Map(
    Object.entries(schemas).map(([file, schema]) => [file, `${JSON.stringify(schema, null, 2)}\n`]),
  );
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  mkdirSync(folder, { recursive: true });
  for (const [file, text] of schemaFiles()) writeFileSync(`${folder}${file}`, text);
}
