import { afterAll, afterEach, beforeEach, describe, expect, it } from 'vitest';
import { foundingInvitation } from '../src/crew/invitations.ts';
import { memberOf, stranger, visitor } from './support/people.ts';
import { clusterOrNone } from './support/postgres.ts';
import { SHARED, type TestServer, testServer } from './support/server.ts';
import { note, notes, startedTank, tankOf } from './support/tanks.ts';

const cluster = await clusterOrNone();
const tank = tankOf(1);

let url = '';
let servers: TestServer[] = [];

/** Another process on the same database, for all that the server can tell. */
async function another(): Promise<TestServer> {
  const server = await testServer({ mode: SHARED, databaseUrl: url });
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
    await keeper.visitor.ask('POST', `/api/tanks/${tank}/entries`, { entries });
    await b.services.queue.add('refit', tank);
    await Promise.all([a.services.queue.start(a.services), b.services.queue.start(b.services)]);
    await expect
      .poll(async () => (await (await keeper.visitor.ask('GET', '/api/rounds')).json())[0]?.current, {
        timeout: 15_000,
      })
      .toBe(true);
    expect(done).toHaveLength(1);
  }, 30_000);
});
