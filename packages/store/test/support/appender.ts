/**
 * A program that appends batches to a journal until it is killed: `appender.ts PLACE FIRST`, where PLACE is a file or a
 * PostgreSQL address. After each batch that was confirmed it writes the batch's number on a line of its own, at once.
 */
import { writeSync } from 'node:fs';
import { postgresStore } from '@brinewright/store/postgres';
import { sqliteStore } from '@brinewright/store/sqlite';
import { batch } from './batches.ts';

const [, , place = '', first = '0'] = process.argv;
const store = place.startsWith('postgres:') ? await postgresStore(place) : sqliteStore(place);
for (let number = Number(first); ; number++) {
  await store.append(batch(number));
  writeSync(1, `${number}\n`);
}
