import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { foundingInvitation, invite } from '../src/crew/invitations.ts';
import { newDevice } from './support/device.ts';
import { memberOf, PASSWORD, stranger, visitor } from './support/people.ts';
import { ORIGIN, SHARED, type TestServer, testServer } from './support/server.ts';
import { notes, tankOf } from './support/tanks.ts';

let server: TestServer;
beforeEach(async () => {
  server = await testServer({ mode: SHARED });
});
afterEach(() => server.close());

const tank = tankOf(1);
const DAY = 86_400_000;

describe('the first account', () => {
  it('is opened by the founding invitation and keeps the tanks that were there before', async () => {
    await server.services.store.append([...notes(tankOf(1), 0, 2), ...notes(tankOf(2), 0, 2)]);
    const founding = await foundingInvitation(server.services);
    const founder = visitor(server);
    const account = await founder.join(founding?.secret ?? '', 'Ines');
    const self = await (await founder.ask('GET', '/api/self')).json();
    expect(self).toEqual({
      account,
      name: 'Ines',
      hasPassword: true,
      passkeys: [],
      tanks: [tankOf(1), tankOf(2)].map((one) => ({ tank: one, role: 'keeper' })),
    });
    expect(await foundingInvitation(server.services)).toBeUndefined();
  });
});

describe('an invitation', () => {
  it('serves one person once, and only until it expires', async () => {
    const { secret } = await invite(server.services, null, tank, 'reader', 2);
    const offered = await visitor(server).ask('GET', `/api/invitations/${secret}`);
    expect(await offered.json()).toEqual({ tank, role: 'reader', expires: '2026-03-08T12:00:00.000Z' });
    await visitor(server).join(secret, 'Ines');
    expect((await visitor(server).ask('GET', `/api/invitations/${secret}`)).status).toBe(410);
    const second = { name: 'Tomas', password: PASSWORD };
    expect((await visitor(server).ask('POST', `/api/invitations/${secret}/password`, second)).status).toBe(
      410,
    );

    const late = await invite(server.services, null, tank, 'reader', 2);
    server.time += 2 * DAY;
    expect(
      (await visitor(server).ask('POST', `/api/invitations/${late.secret}/password`, second)).status,
    ).toBe(410);
    const { count } = (
      await server.services.database.all<{ count: number }>('select count(*) as count from account')
    )[0] ?? { count: NaN };
    expect(count).toBe(1);
  });

  it('gives someone with an account another tank, and never a smaller part than they had', async () => {
    const ines = await memberOf(server, tank, 'mentor', 'Ines');
    for (const role of ['keeper', 'reader'] as const) {
      const { secret } = await invite(server.services, null, tank, role, 1);
      expect((await ines.visitor.ask('POST', `/api/invitations/${secret}`)).status).toBe(204);
      const { tanks } = await (await ines.visitor.ask('GET', '/api/self')).json();
      expect(tanks).toEqual([{ tank, role: 'keeper' }]);
    }
  });

  it('cannot be used twice at the same time', async () => {
    const { secret } = await invite(server.services, null, tank, 'keeper', 1);
    const answers = await Promise.all(
      ['Ines', 'Tomas', 'Mei'].map((name) =>
        visitor(server).ask('POST', `/api/invitations/${secret}/password`, { name, password: PASSWORD }),
      ),
    );
    expect(answers.map(({ status }) => status).sort()).toEqual([200, 410, 410]);
  });

  it('asks for a name nobody has and a password long enough, and is still good afterwards', async () => {
    await stranger(server, 'Ines');
    const { secret } = await invite(server.services, null, tank, 'reader', 1);
    const open = (name: string, password: string) =>
      visitor(server).ask('POST', `/api/invitations/${secret}/password`, { name, password });
    const taken = await open('  iNES ', PASSWORD);
    expect(taken.status).toBe(422);
    expect((await taken.json()).errors[0].pointer).toBe('/name');
    const short = await open('Tomas', 'elevenchars');
    expect((await short.json()).errors[0].pointer).toBe('/password');
    expect((await open('Tomas', PASSWORD)).status).toBe(200);
  });
});

describe('signing in', () => {
  it('with a password gives a cookie that only this host sees, over a secure connection', async () => {
    const ines = await stranger(server, 'Ines');
    const device = visitor(server);
    const response = await device.ask('POST', '/api/sessions/password', { name: 'ines', password: PASSWORD });
    expect(await response.json()).toEqual({ account: ines.account, name: 'Ines' });
    const cookie = response.headers.get('set-cookie') ?? '';
    expect(cookie).toMatch(/^__Host-brinewright=[\w-]{43}; /);
    for (const part of ['Path=/', 'HttpOnly', 'Secure', 'SameSite=Lax']) expect(cookie).toContain(part);
    expect(cookie).not.toContain('Domain');
  });

  it('leaves nothing in the database that would sign anyone in', async () => {
    const ines = await stranger(server, 'Ines');
    const secret = ines.visitor.cookie.split('=')[1] ?? 'none';
    const { database } = server.services;
    const kept = JSON.stringify([
      await database.all('select * from session'),
      await database.all('select * from password'),
      await database.all('select * from invitation'),
    ]);
    expect(kept).toContain('$argon2id$v=19$m=19456,t=2,p=1$');
    expect(kept).not.toContain(secret);
    expect(kept).not.toContain(PASSWORD);
  });

  it('fails alike for an unknown name and a wrong password', async () => {
    await stranger(server, 'Ines');
    const bodies = [
      { name: 'Ines', password: 'something else altogether' },
      { name: 'Nobody', password: PASSWORD },
    ];
    const answers = await Promise.all(
      bodies.map(async (body) => {
        const response = await visitor(server).ask('POST', '/api/sessions/password', body);
        return [response.status, response.headers.get('set-cookie'), await response.text()];
      }),
    );
    expect(answers[0]?.[0]).toBe(401);
    expect(answers[1]).toEqual(answers[0]);
  });

  it('cannot be guessed quickly', async () => {
    const statuses: number[] = [];
    for (let i = 0; i < 12; i++) {
      const guess = { name: 'Ines', password: `guess number ${i}` };
      statuses.push((await visitor(server).ask('POST', '/api/sessions/password', guess)).status);
    }
    expect(statuses.slice(0, 10)).toEqual(Array(10).fill(401));
    expect(statuses.slice(10)).toEqual([429, 429]);
  });

  it('lasts thirty days, and ends at once when asked to', async () => {
    const ines = await stranger(server, 'Ines');
    server.time += 30 * DAY - 1;
    expect((await ines.visitor.ask('GET', '/api/self')).status).toBe(200);
    server.time += 1;
    expect((await ines.visitor.ask('GET', '/api/self')).status).toBe(401);

    const device = visitor(server);
    await device.ask('POST', '/api/sessions/password', { name: 'Ines', password: PASSWORD });
    const { cookie } = device;
    expect((await device.ask('DELETE', '/api/sessions/current')).status).toBe(204);
    expect(device.cookie).toBe('');
    device.cookie = cookie;
    expect((await device.ask('GET', '/api/self')).status).toBe(401);
  });

  it('elsewhere ends when the password changes', async () => {
    const ines = await stranger(server, 'Ines');
    const other = visitor(server);
    await other.ask('POST', '/api/sessions/password', { name: 'Ines', password: PASSWORD });
    const changed = { password: 'another long password' };
    expect((await ines.visitor.ask('PUT', '/api/self/password', changed)).status).toBe(204);
    expect((await other.ask('GET', '/api/self')).status).toBe(401);
    expect((await ines.visitor.ask('GET', '/api/self')).status).toBe(200);
    const old = { name: 'Ines', password: PASSWORD };
    expect((await other.ask('POST', '/api/sessions/password', old)).status).toBe(401);
  });

  it('is refused to pages of others', async () => {
    const ines = await stranger(server, 'Ines');
    const forged = await server.app.request('/api/self', {
      method: 'DELETE',
      headers: {
        Cookie: ines.visitor.cookie,
        Origin: 'https://elsewhere.example',
        'Content-Type': 'application/json',
      },
      body: JSON.stringify({ name: 'Ines' }),
    });
    expect(forged.status).toBe(403);
    expect((await ines.visitor.ask('GET', '/api/self')).status).toBe(200);
  });
});

describe('a passkey', () => {
  async function joined() {
    const { secret } = await invite(server.services, null, tank, 'keeper', 1);
    const device = newDevice(ORIGIN);
    const ines = visitor(server);
    const path = `/api/invitations/${secret}`;
    const offered = await (await ines.ask('POST', `${path}/passkey-options`, { name: 'Ines' })).json();
    expect(offered.options.authenticatorSelection.residentKey).toBe('required');
    const answer = device.make(offered.options);
    const made = { name: 'Ines', ceremony: offered.ceremony, answer };
    return { device, ines, made, path };
  }
  const signIn = async (device: ReturnType<typeof newDevice>, origin = ORIGIN) => {
    const one = visitor(server);
    const { ceremony, options } = await (await one.ask('POST', '/api/sessions/passkey-options')).json();
    const proof = { ceremony, answer: device.sign(options, origin) };
    return { one, proof, response: await one.ask('POST', '/api/sessions/passkey', proof) };
  };

  it('opens an account and signs in, without a name or password', async () => {
    const { device, ines, made, path } = await joined();
    const response = await ines.ask('POST', `${path}/passkey`, made);
    expect(response.status).toBe(200);
    const { account } = await response.json();
    const signedIn = await signIn(device);
    expect(await signedIn.response.json()).toEqual({ account, name: 'Ines' });
    const self = await (await signedIn.one.ask('GET', '/api/self')).json();
    expect(self).toMatchObject({ hasPassword: false, tanks: [{ tank, role: 'keeper' }] });
    const only = `/api/self/passkeys/${self.passkeys[0].id}`;
    expect((await signedIn.one.ask('DELETE', only)).status).toBe(409);
    await signedIn.one.ask('PUT', '/api/self/password', { password: PASSWORD });
    expect((await signedIn.one.ask('DELETE', only)).status).toBe(204);
    expect((await signIn(device)).response.status).toBe(401);
  });

  it('that is a copy, signs for another place, or repeats an answer is refused', async () => {
    const { device, ines, made, path } = await joined();
    await ines.ask('POST', `${path}/passkey`, made);
    const { one, proof, response } = await signIn(device);
    expect(response.status).toBe(200);
    expect((await one.ask('POST', '/api/sessions/passkey', proof)).status).toBe(410);
    expect((await signIn(device, 'https://tanks.example.elsewhere.example')).response.status).toBe(401);
    device.turnBack();
    expect((await signIn(device)).response.status).toBe(401);
    expect((await signIn(newDevice(ORIGIN))).response.status).toBe(401);
  });

  it('is made anew where the answer is late or not sound', async () => {
    const { ines, made, path } = await joined();
    server.time += 5 * 60_000;
    expect((await ines.ask('POST', `${path}/passkey`, made)).status).toBe(410);
    const { ceremony } = await (await ines.ask('POST', `${path}/passkey-options`, { name: 'Ines' })).json();
    expect((await ines.ask('POST', `${path}/passkey`, { ...made, ceremony })).status).toBe(401);
    expect((await ines.ask('POST', `${path}/passkey`, { ...made, answer: 7 })).status).toBe(422);
  });

  it('can be added to an account, once', async () => {
    const ines = await stranger(server, 'Ines');
    const device = newDevice(ORIGIN);
    for (const status of [204, 409]) {
      const { ceremony, options } = await (
        await ines.visitor.ask('POST', '/api/self/passkey-options')
      ).json();
      const answer = device.make(options);
      const kept = await ines.visitor.ask('POST', '/api/self/passkeys', { ceremony, answer });
      expect(kept.status).toBe(status);
    }
    expect((await (await signIn(device)).response.json()).account).toBe(ines.account);
  });
});

describe('closing an account', () => {
  it('takes away everything but what was written, which stays under an id that leads nowhere', async () => {
    const ines = await memberOf(server, tank, 'mentor', 'Ines');
    const keeper = await memberOf(server, tank, 'keeper', 'Tomas');
    await ines.visitor.ask('POST', `/api/tanks/${tank}/remarks`, { text: 'Test the nitrite too.' });
    const exported = await (await ines.visitor.ask('GET', '/api/self/export')).json();
    expect(exported).toMatchObject({ name: 'Ines', tanks: [{ tank, role: 'mentor' }], proposals: [] });
    expect((await ines.visitor.ask('DELETE', '/api/self', { name: 'Tomas' })).status).toBe(422);
    const closed = await ines.visitor.ask('DELETE', '/api/self', { name: 'Ines' });
    expect((await closed.json()).stays).toMatch(/Entries .* stay/);
    for (const table of ['account', 'password', 'session', 'crew']) {
      const column = table === 'account' ? 'id' : 'account';
      const sql = `select * from ${table} where ${column} = $1`;
      expect(await server.services.database.all(sql, ines.account)).toEqual([]);
    }
    const { entries } = await (await keeper.visitor.ask('GET', `/api/tanks/${tank}/entries`)).json();
    expect(entries).toMatchObject([
      { by: ines.account, body: { text: 'Test the nitrite too.', remark: true } },
    ]);
    expect(JSON.stringify(entries)).not.toContain('Ines');
  });

  it('waits until every tank that others use has another keeper', async () => {
    const keeper = await memberOf(server, tank, 'keeper', 'Tomas');
    const reader = await memberOf(server, tank, 'reader', 'Ines');
    const close = () => keeper.visitor.ask('DELETE', '/api/self', { name: 'Tomas' });
    const refused = await close();
    expect(refused.status).toBe(409);
    expect((await refused.json()).detail).toContain(tank);
    await keeper.visitor.ask('PUT', `/api/tanks/${tank}/crew/${reader.account}`, { role: 'keeper' });
    expect((await close()).status).toBe(200);
  });
});
