/** Copies of the SQLite file, taken while a server may be writing to it, and put back. */
import {
  closeSync,
  copyFileSync,
  existsSync,
  fsyncSync,
  linkSync,
  mkdirSync,
  openSync,
  rmSync,
} from 'node:fs';
import { join } from 'node:path';
import Database from 'libsql';

/** The one file everything is kept in, in its folder. */
export const journalFile = (data: string): string => join(data, 'journal.sqlite');

/** Thrown where a copy cannot be taken or put back, in words for whoever asked. */
class CopyError extends Error {
  override readonly name = 'CopyError';
}

/**
 * Writes all that is kept into a new file, as it is at one moment, for its owner's eyes alone.
 * @throws CopyError where there is nothing to copy, or the file is there already
 */
export function takeCopy(data: string, file: string): void {
  const source = journalFile(data);
  if (!existsSync(source)) throw new CopyError(`Nothing is kept in ${data}: name its folder with --data.`);
  if (existsSync(file)) throw new CopyError(`${file} is there already: name a file that is not.`);
  const db = new Database(source, { timeout: 30_000 });
  const before = process.umask(0o077);
  try {
    db.exec(`vacuum into '${file.replaceAll("'", "''")}'`);
  } finally {
    process.umask(before);
    db.close();
  }
  mustBeSound(file);
}

/**
 * Puts a copy in the place of a journal that is lost. Nothing is ever written over.
 * @throws CopyError where a journal is there, or the file is no sound copy of one
 */
export function putBack(file: string, data: string): void {
  const place = journalFile(data);
  for (const there of [place, `${place}-wal`])
    if (existsSync(there)) throw new CopyError(`${there} is there: end the server and move it away first.`);
  if (!existsSync(file)) throw new CopyError(`${file} is not there.`);
  mustBeSound(file);
  mkdirSync(data, { recursive: true, mode: 0o700 });
  // Whole on the disk before it has the name a server looks for.
  const arriving = `${place}.arriving`;
  copyFileSync(file, arriving);
  force(arriving);
  linkSync(arriving, place);
  rmSync(arriving);
  force(data);
}

function mustBeSound(file: string): void {
  const db = new Database(file, { readonly: true });
  try {
    const found = db.prepare('pragma integrity_check').pluck().all();
    if (found.join() !== 'ok') throw new CopyError(`${file} is damaged: ${found.slice(0, 3).join('; ')}`);
    db.prepare('select id, tank, line from entry limit 1').get();
    db.prepare('select number from server_migration limit 1').get();
  } catch (error) {
    if (error instanceof CopyError) throw error;
    const why = error instanceof Error ? error.message : String(error);
    throw new CopyError(`${file} is no copy of a server’s journal (${why}).`);
  } finally {
    db.close();
  }
}

/** Onto the disk. */
function force(path: string): void {
  const file = openSync(path, 'r');
  fsyncSync(file);
  closeSync(file);
}
