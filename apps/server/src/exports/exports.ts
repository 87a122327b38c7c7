import { newId } from '../crew/accounts.ts';
import { Fault } from '../http/problem.ts';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';
import { KEPT_FOR } from './make.ts';

export interface Export {
  readonly id: string;
  /** Epoch milliseconds. */
  readonly asked: number;
  readonly expires: number;
  readonly state: 'waiting' | 'ready';
  readonly bytes: number;
}

const COLUMNS = 'id, asked, expires, state, bytes';

/** What someone asked for and has not expired, newest first. `account` is '' for the one person of a server for one. */
export const exportsOf = ({ database, now }: Services, account: string): Promise<readonly Export[]> =>
  database.all<Export>(
    `select ${COLUMNS} from export where account = $1 and expires > $2 order by asked desc, id desc`,
    account,
    now(),
  );

/** Asks for a file. Whoever waits for one already is not given another. */
export async function askForExport(services: Services, account: string): Promise<Export> {
  const { database, queue, now } = services;
  const wanted = (await exportsOf(services, account)).find(({ state }) => state === 'waiting');
  const made: Export = wanted ?? {
    id: newId(services),
    asked: now(),
    expires: now() + KEPT_FOR,
    state: 'waiting',
    bytes: 0,
  };
  if (wanted === undefined) {
    // One file a person lies ready at a time.
    await database.run('delete from export where account = $1', account);
    await database.run(
      "insert into export (id, account, asked, expires, state, bytes) values ($1, $2, $3, $4, 'waiting', 0)",
      made.id,
      account,
      made.asked,
      made.expires,
    );
  }
  await queue.add('export', made.id);
  return made;
}

/** @throws Fault where it is not theirs, or has expired */
export async function exportOf({ database, now }: Services, account: string, id: string): Promise<Export> {
  const found = await first<Export>(
    database,
    `select ${COLUMNS} from export where id = $1 and account = $2 and expires > $3`,
    id,
    account,
    now(),
  );
  if (found === undefined) throw new Fault('not-here');
  return found;
}

/** The file, part by part. */
export async function* partsOf({ database }: Services, id: string): AsyncGenerator<Buffer> {
  for (let part = 0; ; part++) {
    const row = await first<{ content: string }>(
      database,
      'select content from export_part where export = $1 and part = $2',
      id,
      part,
    );
    if (row === undefined) return;
    yield Buffer.from(row.content, 'base64');
  }
}
