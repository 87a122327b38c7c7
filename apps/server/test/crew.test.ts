import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Member, memberOf, stranger, visitor } from './support/people.ts';
import { SHARED, type TestServer, testServer } from './support/server.ts';
import { note, notes, tankOf } from './support/tanks.ts';

let server: TestServer;
let keeper: Member;
let mentor: Member;
let reader: Member;
const tank = tankOf(1);
const home = `/api/tanks/${tank}`;

beforeEach(async () => {
  server = await testServer({ mode: SHARED });
  keeper = await memberOf(server, tank, 'keeper', 'Keeper');
  mentor = await memberOf(server, tank, 'mentor', 'Mentor');
  reader = await memberOf(server, tank, 'reader', 'Reader');
});
afterEach(() => server.close());

const order = {
  do: 'exchange',
  when: '2026-03-08T09:00:00Z',
  what: { litres: 20, salinity: 35, temperatureC: 25 },
  say: 'Change 20 L of water on Sunday.',
  urgency: 'soon',
};

describe('a tank of several people', () => {
  it('becomes the tank of whoever hands over its first entries, and of nobody else after', async () => {
    const fresh = tankOf(5);
    const path = `/api/tanks/${fresh}/entries`;
    const other = await stranger(server, 'Other');
    const both = await Promise.all([
      keeper.visitor.ask('POST', path, { entries: notes(fresh, 0, 2) }),
      other.visitor.ask('POST', path, { entries: notes(fresh, 2, 4) }),
    ]);
    expect(both.map(({ status }) => status).sort()).toEqual([200, 404]);
    const { database } = server.services;
    expect(await database.all('select role from crew where tank = $1', fresh)).toEqual([{ role: 'keeper' }]);
  });

  it('that was kept before the server was shared cannot be claimed', async () => {
    const old = tankOf(6);
    await server.services.store.append(notes(old, 0, 2));
    const claim = await keeper.visitor.ask('POST', `/api/tanks/${old}/entries`, { entries: [note(old, 3)] });
    expect(claim.status).toBe(404);
  });

  it('is shown to its own people only, in lists, rounds and the journal file', async () => {
    await keeper.visitor.ask('POST', `${home}/entries`, { entries: notes(tank, 0, 2) });
    const other = await stranger(server, 'Other');
    for (const [one, count] of [
      [reader, 1],
      [other, 0],
    ] as const) {
      expect(await (await one.visitor.ask('GET', '/api/tanks')).json()).toHaveLength(count);
      expect(await (await one.visitor.ask('GET', '/api/rounds')).json()).toHaveLength(count);
      const file = await (await one.visitor.ask('GET', '/api/journal')).text();
      expect(file.includes(tank)).toBe(count > 0);
    }
  });

  it('takes from a journal file only what its bringer may write', async () => {
    await keeper.visitor.ask('POST', `${home}/entries`, { entries: notes(tank, 0, 2) });
    const file = ['{"journal":1}', JSON.stringify(note(tank, 9)), JSON.stringify(note(tankOf(7), 0)), ''];
    const response = await server.app.request('/api/journal', {
      method: 'POST',
      headers: { Cookie: mentor.visitor.cookie, 'Content-Type': 'application/x-ndjson' },
      body: file.join('\n'),
    });
    expect(await response.json()).toMatchObject({ added: 1, problems: [{ code: 'not-keeper' }] });
    expect(await server.services.store.count()).toBe(3);
  });

  it('lets nobody write in the name of someone else who has an account', async () => {
    const push = (by: string) =>
      keeper.visitor.ask('POST', `${home}/entries`, { entries: [note(tank, 0, { by }), note(tank, 1)] });
    const forged = await push(mentor.account);
    expect(forged.status).toBe(403);
    expect((await forged.json()).errors).toMatchObject([{ pointer: '/entries/0/by' }]);
    expect(await server.services.store.count()).toBe(0);
    expect((await push(keeper.account)).status).toBe(200);
  });

  it('always has a keeper', async () => {
    const own = `${home}/crew/${keeper.account}`;
    expect((await keeper.visitor.ask('PUT', own, { role: 'reader' })).status).toBe(409);
    expect((await keeper.visitor.ask('DELETE', own)).status).toBe(409);
    expect((await keeper.visitor.ask('DELETE', `${home}/crew/self`)).status).toBe(409);
    expect((await reader.visitor.ask('DELETE', `${home}/crew/self`)).status).toBe(204);
    const names = (await (await keeper.visitor.ask('GET', `${home}/crew`)).json()).map(
      ({ name, role }: { name: string; role: string }) => `${name} ${role}`,
    );
    expect(names).toEqual(['Keeper keeper', 'Mentor mentor']);
    expect((await reader.visitor.ask('GET', `${home}/crew`)).status).toBe(404);
  });

  it('is opened to others by links that can be withdrawn', async () => {
    const asked = await keeper.visitor.ask('POST', `${home}/invitations`, { role: 'reader', days: 3 });
    const { id, link } = await asked.json();
    expect(link).toMatch(/^https:\/\/tanks\.example\/join\/[\w-]{43}$/);
    const listed = await (await keeper.visitor.ask('GET', `${home}/invitations`)).json();
    expect(listed).toEqual([{ id, role: 'reader', expires: '2026-03-09T12:00:00.000Z' }]);
    expect((await keeper.visitor.ask('DELETE', `${home}/invitations/${id}`)).status).toBe(204);
    const secret = link.split('/').at(-1);
    expect((await visitor(server).ask('GET', `/api/invitations/${secret}`)).status).toBe(410);
    const endless = { role: 'reader', days: 365 };
    expect((await keeper.visitor.ask('POST', `${home}/invitations`, endless)).status).toBe(422);
  });
});

describe('a mentor', () => {
  it('proposes an order, which a keeper accepts once and the journal then holds', async () => {
    const proposed = await (await mentor.visitor.ask('POST', `${home}/proposals`, order)).json();
    expect(proposed).toMatchObject({ order, proposedBy: mentor.account, decision: null });
    const accept = `${home}/proposals/${proposed.id}/acceptance`;
    expect((await mentor.visitor.ask('POST', accept)).status).toBe(403);
    for (let i = 0; i < 2; i++) {
      const accepted = await (await keeper.visitor.ask('POST', accept)).json();
      expect(accepted).toMatchObject({ decision: 'accepted', decidedBy: keeper.account });
    }
    const refuse = `${home}/proposals/${proposed.id}/refusal`;
    expect((await keeper.visitor.ask('POST', refuse)).status).toBe(409);
    const { entries } = await (await reader.visitor.ask('GET', `${home}/entries`)).json();
    expect(entries).toEqual([
      {
        id: proposed.id,
        tank,
        at: '2026-03-06T12:00:00.000Z',
        recorded: '2026-03-06T12:00:00.000Z',
        by: keeper.account,
        kind: 'note',
        body: { text: order.say, order, proposedBy: mentor.account },
      },
    ]);
    expect(await (await reader.visitor.ask('GET', `${home}/proposals`)).json()).toHaveLength(1);
  });

  it('is told when a proposal is declined, and leaves no trace in the journal then', async () => {
    const { id } = await (await mentor.visitor.ask('POST', `${home}/proposals`, order)).json();
    await keeper.visitor.ask('POST', `${home}/proposals/${id}/refusal`);
    const [proposal] = await (await mentor.visitor.ask('GET', `${home}/proposals`)).json();
    expect(proposal).toMatchObject({ id, decision: 'declined', decidedBy: keeper.account });
    expect(await server.services.store.count()).toBe(0);
    expect((await keeper.visitor.ask('POST', `${home}/proposals/${tankOf(3)}/acceptance`)).status).toBe(404);
  });
});
