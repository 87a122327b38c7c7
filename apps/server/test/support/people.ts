/** People of a shared server, each asking with a cookie jar of their own. */
import type { TankId } from '@brinewright/journal';
import type { Role } from '../../src/access/rules.ts';
import { invite } from '../../src/crew/invitations.ts';
import { ORIGIN, type TestServer } from './server.ts';
import { tankOf } from './tanks.ts';

export const PASSWORD = 'salt, light and patience';

export interface Visitor {
  /** What the browser sends along; empty while nobody is signed in. */
  cookie: string;
  /** What the browser says it is. */
  agent: string;
  ask(method: string, path: string, body?: unknown): Promise<Response>;
  /** Opens an account by an invitation. */
  join(secret: string, name: string): Promise<string>;
}

export function visitor(server: TestServer): Visitor {
  const one: Visitor = {
    cookie: '',
    agent: '',
    async ask(method, path, body) {
      const response = await server.app.request(path, {
        method,
        headers: {
          Origin: ORIGIN,
          Host: new URL(ORIGIN).host,
          Cookie: one.cookie,
          'User-Agent': one.agent,
          ...(body === undefined ? {} : { 'Content-Type': 'application/json' }),
        },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      });
      const set = response.headers.get('set-cookie');
      if (set !== null) one.cookie = /Max-Age=0/.test(set) ? '' : (set.split(';')[0] ?? '');
      return response;
    },
    async join(secret, name) {
      const response = await one.ask('POST', `/api/invitations/${secret}/password`, {
        name,
        password: PASSWORD,
      });
      if (response.status !== 200) throw new Error(await response.text());
      return (await response.json()).account;
    },
  };
  return one;
}

export interface Member {
  readonly visitor: Visitor;
  readonly account: string;
}

/** Someone with a part in a tank. */
export async function memberOf(server: TestServer, tank: TankId, role: Role, name: string): Promise<Member> {
  const { secret } = await invite(server.services, null, tank, role, 1);
  const one = visitor(server);
  return { visitor: one, account: await one.join(secret, name) };
}

/** Someone with an account and no part in any tank. */
export async function stranger(server: TestServer, name: string): Promise<Member> {
  const member = await memberOf(server, tankOf(99), 'reader', name);
  await server.services.database.run('delete from crew where account = $1', member.account);
  return member;
}
