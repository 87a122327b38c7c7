/** The rounds of a thousand tanks whose answers are kept: how long the first page takes, and how much memory. */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import Libsql from 'libsql';
import pg from 'pg';
import { batchesOf, benchTank, startedTank } from './entries.ts';
import { measure, print, seconds } from './measure.ts';
import type { ServerUnderTest, StartServer } from './program.ts';

const TANKS = 1000;

export async function measureRounds(
  startServer: StartServer,
  title: string,
  data: string,
  url: string | undefined,
): Promise<void> {
  if (url === undefined) mkdirSync(data, { recursive: true });
  const server = await startServer(data, url);
  for (const few of batchesOf(
    Array.from({ length: TANKS }, (_, n) => n),
    100,
  ))
    await Promise.all(few.map((n) => server.push(benchTank(n), startedTank(benchTank(n), Date.now()))));
  await server.ask('GET', `api/tanks/${benchTank(0)}/sheet`);
  console.log(`\n${title}: ${TANKS} tanks with the answer of one`);
  await copyAnswer(data, url);
  const before = await server.memory();
  const first = performance.now();
  const { bytes, text } = await server.ask('GET', 'api/rounds');
  const took = seconds(first);
  const rounds = JSON.parse(text) as { current: boolean }[];
  console.log(
    `  first page ${(1000 * took).toFixed(0)} ms, ${rounds.length} tanks, ${rounds.filter(({ current }) => current).length} current, ` +
      `${(text.length / 1024).toFixed(0)} KiB (${(bytes / 1024).toFixed(0)} KiB compressed)`,
  );
  const rows = [
    await measure('rounds in full (tanks)', again(server, false)),
    await measure('rounds, nothing new (tanks)', again(server, true)),
  ];
  const after = await server.memory();
  await server.stop();
  print(`  memory ${before.toFixed(0)} MiB before, ${after.toFixed(0)} MiB after`, rows);
}

/** Twenty looks, each with the tag of the last one or without. */
function again(server: ServerUnderTest, tagged: boolean) {
  let held = '';
  return [
    Array.from({ length: 20 }, () => async () => {
      const { tag } = await server.ask(
        'GET',
        'api/rounds',
        undefined,
        tagged ? { 'If-None-Match': held } : {},
      );
      held = tag;
      return TANKS;
    }),
  ];
}

/** Gives every tank the answer of the first, as of now and for its own newest entry. */
const COPY = `
  insert into answer (tank, question, state, as_of, body, round)
  select newest.tank, a.question, cast(entry.place as text) || '.' || entry.id, a.as_of, a.body, a.round
  from (select tank, max(place) as place from entry group by tank) newest
  join entry on entry.tank = newest.tank and entry.place = newest.place
  cross join (select * from answer where tank = 'TANK') a
  where newest.tank <> 'TANK'
  on conflict (tank, question) do update
  set state = excluded.state, as_of = excluded.as_of, body = excluded.body, round = excluded.round`;

async function copyAnswer(data: string, url: string | undefined): Promise<void> {
  const sql = COPY.replaceAll('TANK', benchTank(0));
  if (url === undefined) {
    const db = new Libsql(join(data, 'journal.sqlite'), { timeout: 30_000 });
    db.exec(sql);
    db.close();
    return;
  }
  const client = new pg.Client(url);
  await client.connect();
  await client.query(sql);
  await client.end();
}
