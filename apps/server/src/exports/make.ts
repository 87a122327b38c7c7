/**
 * Everything a person wrote as one file: `journal.ndjson`, with every entry of their tanks and every entry elsewhere
 * that names them as its author, and, where they have an account, `account.json` with what is kept about it.
 */
import { type Entry, entryOfLine, journalHeader, lineOf, readAll, type TankId } from '@brinewright/journal';
import { Zip, ZipDeflate } from 'fflate';
import { tanksOf } from '../access/person.ts';
import { aboutSelf } from '../crew/self.ts';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';

/** How long a file is kept once it was asked for, ms. */
export const KEPT_FOR = 2 * 86_400_000;

/** Bytes of a part of the file, as it lies in the database. */
const PART = 512 * 1024;
/** Text compressed at once. */
const PIECE = 64 * 1024;

interface Asked {
  readonly account: string;
  readonly asked: number;
  readonly expires: number;
}

/** Makes the file that was asked for, anew where an attempt before this ended half-way; tells when it expires. */
export async function makeExport(services: Services, id: string): Promise<number | undefined> {
  const { database } = services;
  const asked = await first<Asked>(database, 'select account, asked, expires from export where id = $1', id);
  if (asked === undefined) return undefined;
  await database.run('delete from export_part where export = $1', id);
  let bytes = 0;
  let part = 0;
  for await (const content of zipped(services, asked)) {
    bytes += content.length;
    await database.run(
      'insert into export_part (export, part, content) values ($1, $2, $3)',
      id,
      part++,
      content.toString('base64'),
    );
  }
  await database.run("update export set state = 'ready', bytes = $1 where id = $2", bytes, id);
  return asked.expires;
}

export async function dropExport({ database }: Services, id: string): Promise<void> {
  await database.run('delete from export where id = $1', id);
}

async function* zipped(services: Services, { account, asked }: Asked): AsyncGenerator<Buffer> {
  let out: Uint8Array[] = [];
  const zip = new Zip((error, chunk) => {
    if (error) throw error;
    out.push(chunk);
  });
  const full = (): Buffer | undefined => {
    const all = Buffer.concat(out);
    out = all.length < PART ? [all] : [];
    return all.length < PART ? undefined : all;
  };
  const person = account === '' ? undefined : account;
  const files: (readonly [string, AsyncIterable<string> | Iterable<string>])[] = [
    ['journal.ndjson', journalPieces(services, person)],
  ];
  if (person !== undefined)
    files.push(['account.json', [JSON.stringify(await aboutSelf(services, person), null, 2)]]);
  for (const [name, pieces] of files) {
    const file = new ZipDeflate(name, { level: 6 });
    file.mtime = asked;
    zip.add(file);
    for await (const piece of pieces) {
      file.push(Buffer.from(piece));
      const part = full();
      if (part !== undefined) yield part;
    }
    file.push(new Uint8Array(), true);
  }
  zip.end();
  yield Buffer.concat(out);
}

async function* journalPieces(services: Services, account: string | undefined): AsyncGenerator<string> {
  let piece = `${journalHeader}\n`;
  for await (const entry of entriesOf(services, account)) {
    piece += `${lineOf(entry)}\n`;
    if (piece.length < PIECE) continue;
    yield piece;
    piece = '';
  }
  yield piece;
}

async function* entriesOf(services: Services, account: string | undefined): AsyncGenerator<Entry> {
  const tanks = await tanksOf(services, { account });
  for (const tank of tanks.keys()) yield* readAll(services.store, tank);
  if (account !== undefined) yield* writtenElsewhere(services, account, new Set(tanks.keys()));
}

const PAGE = 1000;

interface KeptLine {
  readonly tank: string;
  readonly place: number;
  readonly line: string;
}

/** Entries of tanks someone has no part in any more. Read from the store's own table, past what cannot be theirs. */
async function* writtenElsewhere(
  { database }: Services,
  account: string,
  own: ReadonlySet<TankId>,
): AsyncGenerator<Entry> {
  for (let since: KeptLine = { tank: '', place: 0, line: '' }; ; ) {
    const rows: readonly KeptLine[] = await database.all<KeptLine>(
      `select tank, place, line from entry where (tank, place) > ($1, $2) and line like $3
       order by tank, place limit ${PAGE}`,
      since.tank,
      since.place,
      `%"${account}"%`,
    );
    for (const { line } of rows) {
      const entry = entryOfLine(line);
      if (entry.by === account && !own.has(entry.tank)) yield entry;
    }
    const last = rows.at(-1);
    if (last === undefined || rows.length < PAGE) return;
    since = last;
  }
}
