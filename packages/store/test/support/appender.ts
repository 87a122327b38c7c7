/**
 * A program that appends batches to a SQLite journal until it is killed: `appender.ts PATH FIRST`. After each batch
 * that was confirmed it writes the batch's number on a line of its own, at once.
 */
import { writeSync } from 'node:fs';
import { sqliteStore } from '@brinewright/store/sqlite';
import { batch } from './batches.ts';

const [, , path = '', first = '0'] = process.argv;
const store = sqliteStore(path);
for (let number = Number(first); ; number++) {
  await store.append(batch(number));
  writeSync(1, `${number}\n`);
}
