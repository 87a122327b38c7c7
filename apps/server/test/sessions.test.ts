import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { newPushKey, pushKeysOf } from '../src/push/keys.ts';
import { type Member, PASSWORD, stranger, type Visitor, visitor } from './support/people.ts';
import { browser } from './support/push-service.ts';
import { SHARED, type TestServer, testServer } from './support/server.ts';

const HOUR = 3_600_000;
const PHONE = 'Mozilla/5.0 (Linux; K) AppleWebKit/537.36 (KHTML, like Gecko) Mobile Safari/537.36';
const DESK = 'Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101';

let server: TestServer;
let ines: Member;
let phone: Visitor;
let desk: Visitor;

async function signedIn(agent: string): Promise<Visitor> {
  const one = Object.assign(visitor(server), { agent });
  const body = { name: 'Ines', password: PASSWORD };
  expect((await one.ask('POST', '/api/sessions/password', body)).status).toBe(200);
  return one;
}

const listed = async (one: Visitor) =>
  (await (await one.ask('GET', '/api/sessions')).json()) as { id: string; device: string; here: boolean }[];
const within = async (one: Visitor) => (await one.ask('GET', '/api/self')).status === 200;

beforeEach(async () => {
  server = await testServer({
    mode: SHARED,
    push: pushKeysOf(newPushKey(), 'mailto:keeper@tanks.example'),
  });
  ines = await stranger(server, 'Ines');
  server.time += HOUR;
  phone = await signedIn(PHONE);
  server.time += HOUR;
  desk = await signedIn(DESK);
});
afterEach(() => server.close());

describe('the list of sessions', () => {
  it('tells when each began and was used, and what kind of device it is, and no more', async () => {
    const began = server.time;
    server.time += 30 * 60_000;
    expect(await (await desk.ask('GET', '/api/sessions')).json()).toEqual([
      {
        id: expect.stringMatching(/^[0-9a-f]{16}$/),
        device: 'computer',
        began: new Date(began).toISOString(),
        used: new Date(began).toISOString(),
        expires: new Date(began + 30 * 24 * HOUR).toISOString(),
        here: true,
      },
      expect.objectContaining({ device: 'hand-held', here: false }),
      expect.objectContaining({ device: 'program', here: false }),
    ]);
    const kept = JSON.stringify(await server.services.database.all('select * from session'));
    expect(kept).not.toMatch(/Mozilla|Linux|rv:140/);
  });

  it('notes a use once an hour', async () => {
    const usedOf = async () => {
      const rows = await server.services.database.all<{ used: number }>(
        "select used from session where device = 'hand-held'",
      );
      return rows[0]?.used;
    };
    const before = server.time - HOUR;
    server.time = before + HOUR - 1;
    await phone.ask('GET', '/api/tanks');
    expect(await usedOf()).toBe(before);
    server.time = before + HOUR;
    await phone.ask('GET', '/api/tanks');
    expect(await usedOf()).toBe(before + HOUR);
    // A clock that was set back does not stop it.
    server.time = before - 100 * HOUR;
    await phone.ask('GET', '/api/tanks');
    expect(await usedOf()).toBe(before - 100 * HOUR);
  });

  it('leaves out what has expired', async () => {
    server.time += 29 * 24 * HOUR + 22 * HOUR;
    expect((await listed(desk)).map(({ device }) => device)).toEqual(['computer', 'hand-held']);
  });
});

describe('a session', () => {
  it('is ended from another device of its owner, and by nobody else', async () => {
    const [, other] = await listed(desk);
    const tomas = await stranger(server, 'Tomas');
    expect((await tomas.visitor.ask('DELETE', `/api/sessions/${other?.id}`)).status).toBe(404);
    expect(await within(phone)).toBe(true);
    expect((await desk.ask('DELETE', `/api/sessions/${other?.id}`)).status).toBe(204);
    expect(await within(phone)).toBe(false);
    expect(await within(desk)).toBe(true);
    expect((await desk.ask('DELETE', `/api/sessions/${other?.id}`)).status).toBe(404);
  });

  it('stays when all others are ended', async () => {
    const tomas = await stranger(server, 'Tomas');
    expect((await desk.ask('DELETE', '/api/sessions/others')).status).toBe(204);
    expect([await within(desk), await within(phone), await within(ines.visitor)]).toEqual([
      true,
      false,
      false,
    ]);
    expect(await within(tomas.visitor)).toBe(true);
    expect(await listed(desk)).toHaveLength(1);
  });

  it('ended takes the reminders to its browser with it, and those of a new password do not', async () => {
    const told = async () =>
      (await server.services.database.all('select endpoint from push_subscription order by endpoint')).map(
        ({ endpoint }: { endpoint?: string }) => endpoint,
      );
    for (const [one, name] of [
      [phone, 'phone'],
      [desk, 'desk'],
    ] as const)
      await one.ask('PUT', '/api/push/subscriptions', browser(`https://push.example/${name}`).subscription);
    expect(await told()).toEqual(['https://push.example/desk', 'https://push.example/phone']);
    expect(await (await phone.ask('GET', '/api/push/subscriptions')).json()).toHaveLength(2);
    expect((await desk.ask('PUT', '/api/self/password', { password: 'another long one' })).status).toBe(204);
    expect(await within(desk)).toBe(true);
    expect(await within(phone)).toBe(false);
    expect(await told()).toEqual(['https://push.example/desk']);
    await desk.ask('DELETE', '/api/sessions/current');
    expect(await told()).toEqual([]);
  });
});
