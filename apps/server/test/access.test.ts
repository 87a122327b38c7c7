import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Rule, rules } from '../src/access/rules.ts';
import { type Member, memberOf, stranger, type Visitor, visitor } from './support/people.ts';
import { SHARED, type TestServer, testServer } from './support/server.ts';
import { notes, tankOf } from './support/tanks.ts';

type Asker = 'nobody' | 'stranger' | 'reader' | 'mentor' | 'keeper';
const ASKERS: readonly Asker[] = ['nobody', 'stranger', 'reader', 'mentor', 'keeper'];

/** What each may meet at the door: through, or the status that turns them away. */
const DOOR: Readonly<Record<Rule, Readonly<Record<Asker, 'through' | number>>>> = {
  anyone: all('through'),
  'secret-holder': all('through'),
  probe: all('through'),
  operator: all(404),
  person: { ...all('through'), nobody: 401 },
  reader: { nobody: 401, stranger: 404, reader: 'through', mentor: 'through', keeper: 'through' },
  mentor: { nobody: 401, stranger: 404, reader: 403, mentor: 'through', keeper: 'through' },
  keeper: { nobody: 401, stranger: 404, reader: 403, mentor: 403, keeper: 'through' },
  'keeper-or-new': { nobody: 401, stranger: 404, reader: 403, mentor: 403, keeper: 'through' },
};

function all(what: 'through' | number): Record<Asker, 'through' | number> {
  return { nobody: what, stranger: what, reader: what, mentor: what, keeper: what };
}

const tank = tankOf(1);
let server: TestServer;
let members: Record<Exclude<Asker, 'nobody'>, Member>;

/** Each asker anew, as a browser that has asked nothing yet. */
const fresh = (asker: Asker): Visitor =>
  Object.assign(visitor(server), { cookie: asker === 'nobody' ? '' : members[asker].visitor.cookie });

beforeAll(async () => {
  server = await testServer({ mode: SHARED });
  await server.services.store.append(notes(tank, 0, 2));
  members = {
    stranger: await stranger(server, 'stranger'),
    reader: await memberOf(server, tank, 'reader', 'reader'),
    mentor: await memberOf(server, tank, 'mentor', 'mentor'),
    keeper: await memberOf(server, tank, 'keeper', 'keeper'),
  };
}, 20_000);
afterAll(() => server.close());

/** Routes of the app, as the rules name them. */
function routesOf(app: TestServer['app']): readonly string[] {
  const named = app.routes
    .filter(({ method }) => method !== 'ALL')
    .map(({ method, path }) => `${method} ${path}`);
  return [...new Set(named)].sort();
}

describe('the table of rules', () => {
  it('has a rule for every route, and no rule without a route', () => {
    expect(routesOf(server.app)).toEqual(
      Object.keys(rules)
        .filter((route) => route !== 'GET /*')
        .sort(),
    );
  });

  it('opens no route of crews on a server for one person', async () => {
    const alone = await testServer();
    const routes = routesOf(alone.app);
    expect(routes).toContain('GET /api/tanks');
    expect(routes.filter((route) => /crew|self|session|invitation|proposal|remark/.test(route))).toEqual([]);
    await alone.close();
  });
});

const LEAVING = new Set([
  'DELETE /api/sessions',
  'DELETE /api/sessions/current',
  'DELETE /api/tanks/:tank/crew/self',
]);

describe('at the door of', () => {
  // Asked with an empty body: whoever gets through is told what is wrong with it, and nothing changes.
  it.each(Object.entries(rules).filter(([route]) => route !== 'GET /*'))('%s (%s)', async (route, rule) => {
    const [method = '', pattern = ''] = route.split(' ');
    const path = pattern.replace(':tank', tank).replaceAll(/:\w+/g, 'none');
    for (const asker of ASKERS) {
      // Signing out works, and so does giving up a part: neither may be done by those still to be asked.
      const one = fresh(asker);
      if (LEAVING.has(route) && DOOR[rule][asker] === 'through') continue;
      const response = await one.ask(method, path, method === 'GET' || method === 'DELETE' ? undefined : {});
      await response.arrayBuffer();
      const { status } = response;
      const door = DOOR[rule][asker];
      if (door === 'through') expect([asker, [401, 403].includes(status) && status]).toEqual([asker, false]);
      else expect([asker, status]).toEqual([asker, door]);
    }
  });

  it('a tank that is not there: as for one that is somebody else’s', async () => {
    const own = await fresh('stranger').ask('GET', `/api/tanks/${tank}/entries`);
    const none = await fresh('stranger').ask('GET', `/api/tanks/${tankOf(8)}/entries`);
    expect([own.status, await own.text()]).toEqual([none.status, await none.text()]);
  });

  it('a tank written in another way: nothing', async () => {
    for (const odd of [tank.toUpperCase(), `${tank}%00`, `%2e%2e`, `${tank}/../${tank}`, `{${tank}}`]) {
      const { status } = await fresh('stranger').ask('GET', `/api/tanks/${odd}/entries`);
      expect([404, 422]).toContain(status);
    }
  });
});
