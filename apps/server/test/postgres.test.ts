import { parseJournal } from '@brinewright/journal';
import { unzipSync } from 'fflate';
import { afterAll, afterEach, beforeEach, describe, expect, it } from 'vitest';
import { foundingInvitation } from '../src/crew/invitations.ts';
import type { Fault } from '../src/http/problem.ts';
import { allowances } from '../src/http/shared-limits.ts';
import { postgresQueue } from '../src/jobs/postgres-queue.ts';
import type { Tasks } from '../src/jobs/queue.ts';
import { tasks } from '../src/jobs/tasks.ts';
import { newPushKey, type PushKeys, pushKeysOf } from '../src/push/keys.ts';
import { remindAll } from '../src/reminders/remind.ts';
import { memberOf, stranger, visitor } from './support/people.ts';
import { clusterOrNone } from './support/postgres.ts';
import { browser } from './support/push-service.ts';
import { SHARED, type TestServer, testServer } from './support/server.ts';
import { note, notes, startedTank, tankOf } from './support/tanks.ts';

const cluster = await clusterOrNone();
const tank = tankOf(1);

let url = '';
let servers: TestServer[] = [];

/** Another process on the same database, for all that the server can tell. */
async function another(options: { push?: PushKeys } = {}): Promise<TestServer> {
  const server = await testServer({ mode: SHARED, databaseUrl: url, ...options });
  servers.push(server);
  return server;
}

beforeEach(async () => {
  url = (await cluster?.database()) ?? '';
});
afterEach(async () => {
  for (const server of servers) await server.close();
  servers = [];
});
afterAll(() => cluster?.stop());

describe.skipIf(cluster === undefined)('servers on one PostgreSQL database', () => {
  it('lay it out when several start at once, and serve as one', async () => {
    const [a, b, c] = await Promise.all([another(), another(), another()]);
    const keeper = await memberOf(a, tank, 'keeper', 'Ines');
    expect(
      (await keeper.visitor.ask('POST', `/api/tanks/${tank}/entries`, { entries: notes(tank, 0, 3) })).status,
    ).toBe(200);
    const elsewhere = Object.assign(visitor(b), { cookie: keeper.visitor.cookie });
    const page = await (await elsewhere.ask('GET', `/api/tanks/${tank}/entries?limit=2`)).json();
    expect(page).toMatchObject({ entries: notes(tank, 0, 2), more: true });
    const third = Object.assign(visitor(c), { cookie: keeper.visitor.cookie });
    const rest = await (await third.ask('GET', `/api/tanks/${tank}/entries?after=${page.place}`)).json();
    expect(rest.entries).toEqual([note(tank, 2)]);
    await third.ask('DELETE', '/api/sessions/current');
    expect((await elsewhere.ask('GET', '/api/self')).status).toBe(401);
  }, 20_000);

  it('keep nothing of a tank under a key that does not begin with it', async () => {
    const { services } = await another();
    const keys = await services.database.all<{ table: string; first: string }>(
      `select c.relname as table, a.attname as first from pg_index i
       join pg_class c on c.oid = i.indrelid
       join pg_attribute a on a.attrelid = c.oid and a.attnum = i.indkey[0]
       where i.indisunique and c.relnamespace = 'public'::regnamespace`,
    );
    const begins = (withTank: boolean) => {
      const found = keys.filter(({ first }) => (first === 'tank') === withTank).map(({ table }) => table);
      return [...new Set(found)].sort();
    };
    expect(begins(true)).toEqual([
      'answer',
      'crew',
      'entry',
      'kit_lore',
      'probe',
      'probe_aside',
      'proposal',
      'quiet_hours',
    ]);
    // Those of people, of work to be done and of layouts: docs/scale.md says why.
    expect(begins(false)).toEqual([
      'account',
      'allowance',
      'calendar',
      'ceremony',
      'export',
      'export_part',
      'invitation',
      'journal_migration',
      'own_quiet_hours',
      'passkey',
      'password',
      'push_message',
      'push_subscription',
      'reminded',
      'server_migration',
      'session',
      'task',
    ]);
  }, 20_000);

  it('give a new tank one keeper, however many claim it at once', async () => {
    const [a, b] = await Promise.all([another(), another()]);
    const people = await Promise.all([
      stranger(a, 'Ines'),
      stranger(b, 'Tomas'),
      stranger(a, 'Mei'),
      stranger(b, 'Ruth'),
    ]);
    const statuses = await Promise.all(
      people.map(async ({ visitor: one }, n) => {
        const response = await one.ask('POST', `/api/tanks/${tank}/entries`, { entries: [note(tank, n)] });
        return response.status;
      }),
    );
    expect(statuses.sort()).toEqual([200, 404, 404, 404]);
    expect(await a.services.store.count()).toBe(1);
  }, 20_000);

  it('leave no tank without a keeper when two give it up at once', async () => {
    const [a, b] = await Promise.all([another(), another()]);
    const two = [await memberOf(a, tank, 'keeper', 'Ines'), await memberOf(b, tank, 'keeper', 'Tomas')];
    const gone = await Promise.all(
      two.map(({ visitor: one }) => one.ask('DELETE', `/api/tanks/${tank}/crew/self`)),
    );
    expect(gone.map(({ status }) => status).sort()).toEqual([204, 409]);
  }, 20_000);

  it('let an invitation be used once, and one keeper decide', async () => {
    const [a, b] = await Promise.all([another(), another()]);
    await a.services.store.append(notes(tankOf(3), 0, 1));
    const founding = await foundingInvitation(a.services);
    const founder = visitor(a);
    await founder.join(founding?.secret ?? '', 'Ines');
    expect((await (await founder.ask('GET', '/api/self')).json()).tanks).toEqual([
      { tank: tankOf(3), role: 'keeper' },
    ]);
    expect(await foundingInvitation(b.services)).toBeUndefined();

    const keepers = [await memberOf(a, tank, 'keeper', 'Tomas'), await memberOf(b, tank, 'keeper', 'Mei')];
    const mentor = await memberOf(b, tank, 'mentor', 'Ruth');
    const order = { do: 'wait', when: '2026-03-08T09:00:00Z', what: {}, say: 'Wait.', urgency: 'soon' };
    const { id } = await (await mentor.visitor.ask('POST', `/api/tanks/${tank}/proposals`, order)).json();
    const [yes, no] = await Promise.all([
      keepers[0]?.visitor.ask('POST', `/api/tanks/${tank}/proposals/${id}/acceptance`),
      keepers[1]?.visitor.ask('POST', `/api/tanks/${tank}/proposals/${id}/refusal`),
    ]);
    expect([yes?.status, no?.status].sort()).toEqual([200, 409]);
    const { entries = [] } = await (await mentor.visitor.ask('GET', `/api/tanks/${tank}/entries`)).json();
    expect(entries).toHaveLength(yes?.status === 200 ? 1 : 0);
  }, 20_000);

  it('count the requests of a caller together, and ask the database for one in ten', async () => {
    const processes = [await another(), await another()];
    let asked = 0;
    const allow = processes.map(({ services }) => {
      const { run } = services.database;
      const counted: typeof run = (...told) => {
        asked += 1;
        return run(...told);
      };
      const database = { ...services.database, run: counted };
      return allowances({ ...services, database }, 'test', { burst: 100, perSecond: 1e-6 }, 10);
    });
    const outcomes: string[] = [];
    for (let n = 0; n < 120; n++) {
      const outcome = await allow[n % 2]?.('192.0.2.1').then(
        () => 'through',
        (fault: Fault) => fault.kind,
      );
      outcomes.push(outcome ?? '');
    }
    expect(outcomes).toEqual([...Array(100).fill('through'), ...Array(20).fill('too-often')]);
    // Ten for those let through, and two for each that was not.
    expect(asked).toBe(10 + 2 * 20);
    await expect(allow[0]?.('192.0.2.2')).resolves.toBeUndefined();
  }, 20_000);

  it('slow guessing down together', async () => {
    const [a, b] = await Promise.all([another(), another()]);
    const guess = { name: 'Ines', password: 'not the one' };
    const statuses: number[] = [];
    for (const server of [a, b, a, b, a, b, a, b, a, b, a, b])
      statuses.push((await visitor(server).ask('POST', '/api/sessions/password', guess)).status);
    expect(statuses).toEqual([...Array(10).fill(401), 429, 429]);
    const [row] = await a.services.database.all<{ callers: number }>(
      'select count(*) as callers from allowance',
    );
    expect(row?.callers).toBeGreaterThan(0);
    expect(JSON.stringify(await a.services.database.all('select caller from allowance'))).not.toContain(
      'Ines',
    );
  }, 60_000);

  it('make an export and note a reminder by one of them', async () => {
    const push = pushKeysOf(newPushKey(), 'mailto:keeper@tanks.example');
    const both = [await another({ push }), await another({ push })] as const;
    const [a, b] = both;
    // The queue there goes by the clock of the database.
    for (const server of both) server.time = Date.now();
    const keeper = await memberOf(a, tank, 'keeper', 'Ines');
    const entries = startedTank(tank, 'North bench', a.time - 5 * 86_400_000);
    await keeper.visitor.ask('POST', `/api/tanks/${tank}/entries`, { entries });
    await keeper.visitor.ask('GET', `/api/tanks/${tank}/orders`);
    const never = { zone: 'UTC', from: '00:00', until: '00:00' };
    await keeper.visitor.ask('PUT', `/api/tanks/${tank}/quiet-hours`, never);
    const { subscription } = browser('https://push.invalid/one');
    await keeper.visitor.ask('PUT', '/api/push/subscriptions', subscription);
    const { id } = await (await keeper.visitor.ask('POST', '/api/exports')).json();
    await Promise.all(both.map(({ services }) => services.queue.start(services)));
    const state = async () => (await (await keeper.visitor.ask('GET', `/api/exports/${id}`)).json()).state;
    await expect.poll(state, { timeout: 10_000 }).toBe('ready');
    const file = await keeper.visitor.ask('GET', `/api/exports/${id}/file`);
    const { 'journal.ndjson': journal } = unzipSync(new Uint8Array(await file.arrayBuffer()));
    expect(parseJournal(new TextDecoder().decode(journal)).entries).toEqual(entries);

    await Promise.all([remindAll(a.services), remindAll(b.services)]);
    const noted = await a.services.database.all('select topic from push_message');
    expect(noted.length).toBeGreaterThan(0);
    expect(new Set(noted.map(({ topic }) => topic)).size).toBe(noted.length);
  }, 30_000);

  it('share the slow work: one job is done once by two workers', async () => {
    const [a, b] = await Promise.all([another(), another()]);
    const done: string[] = [];
    for (const [name, server] of [
      ['a', a],
      ['b', b],
    ] as const) {
      const { ask } = server.services.reckoner;
      Object.assign(server.services, {
        reckoner: {
          ...server.services.reckoner,
          ask: async (question: Parameters<typeof ask>[0]) => {
            done.push(name);
            return ask(question);
          },
        },
      });
    }
    const keeper = await memberOf(a, tank, 'keeper', 'Ines');
    const entries = startedTank(tank, 'North bench', a.time - 5 * 86_400_000);
    // A push tells the queue in its own time: here each of the two is told just once.
    await a.services.store.append(entries);
    await Promise.all([a, b].map(({ services }) => services.queue.add('refit', tank)));
    await Promise.all([a.services.queue.start(a.services), b.services.queue.start(b.services)]);
    await expect
      .poll(async () => (await (await keeper.visitor.ask('GET', '/api/rounds')).json())[0]?.current, {
        timeout: 15_000,
      })
      .toBe(true);
    expect(done).toHaveLength(1);
  }, 30_000);

  it('do what a server that died had in hand, and leave the others what they have', async () => {
    const { services } = await another();
    const done: string[] = [];
    const refit: Tasks['refit'] = async (_, subject) => void done.push(subject);
    const queue = await postgresQueue(url, { ...tasks, refit }, { every: 50 });
    for (const subject of ['held long', 'held lately', 'held last']) await queue.add('refit', subject);
    const hold = (subject: string, minutes: number) =>
      services.database.run(
        `update graphile_worker._private_jobs
         set locked_by = $1, locked_at = now() - $2 * interval '1 minute', attempts = 1 where key = $3`,
        `worker of ${subject}`,
        minutes,
        `refit:${subject}`,
      );
    await hold('held long', 11);
    await hold('held lately', 9);
    await hold('held last', 9);
    await queue.start(services);
    await expect.poll(() => done, { timeout: 10_000 }).toEqual(['held long']);
    // As if its time were over meanwhile.
    await hold('held last', 11);
    await expect.poll(() => done, { timeout: 10_000 }).toEqual(['held long', 'held last']);
    // A job leaves the table once its task has ended.
    const left = () => services.database.all('select key from graphile_worker.jobs');
    await expect.poll(left, { timeout: 10_000 }).toEqual([{ key: 'refit:held lately' }]);
    await queue.stop();
  }, 30_000);
});
