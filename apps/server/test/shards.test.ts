import { afterAll, describe, expect, it } from 'vitest';
import { memberOf } from './support/people.ts';
import { clusterOrNone } from './support/postgres.ts';
import { SHARED, testServer } from './support/server.ts';
import { note, notes, startedTank, tankOf } from './support/tanks.ts';

const { impatient, spreadByTank, withOneShard } = (await import(
  new URL('../../../packages/store/test/support/shards.ts', import.meta.url).href
)) as {
  impatient(url: string): string;
  spreadByTank(url: string): Promise<readonly string[]>;
  withOneShard<T>(url: string, tables: readonly string[], work: () => Promise<T>): Promise<T>;
};

const cluster = await clusterOrNone();
const tank = tankOf(1);

afterAll(() => cluster?.stop(), 60_000);

describe.skipIf(cluster === undefined)('a server on a PostgreSQL database spread by tank', () => {
  it('asks one part alone for whatever is asked of one tank', async () => {
    const url = (await cluster?.database()) ?? '';
    await (await testServer({ mode: SHARED, databaseUrl: url })).close();
    const spread = await spreadByTank(url);
    expect(spread).toEqual([
      'answer',
      'crew',
      'entry',
      'kit_lore',
      'probe',
      'probe_aside',
      'proposal',
      'quiet_hours',
    ]);

    const server = await testServer({ mode: SHARED, databaseUrl: impatient(url) });
    const keeper = (await memberOf(server, tank, 'keeper', 'Ines')).visitor;
    const mentor = (await memberOf(server, tank, 'mentor', 'Ruth')).visitor;
    const path = `/api/tanks/${tank}`;
    const entries = startedTank(tank, 'North bench', server.time - 5 * 86_400_000);
    const asked: [typeof keeper, string, string, unknown?][] = [
      [keeper, 'POST', '/entries', { entries: notes(tank, 0, 3) }],
      [keeper, 'POST', '/entries', { entries: notes(tank, 1, 5) }],
      [keeper, 'POST', '/lacking', { ids: [note(tank, 9).id] }],
      [keeper, 'GET', '/entries?limit=2'],
      [keeper, 'GET', '/sheet'],
      [keeper, 'GET', '/orders'],
      [mentor, 'GET', '/crew'],
      [mentor, 'GET', '/proposals'],
      [mentor, 'POST', '/remarks', { text: 'Well begun.' }],
      [keeper, 'PUT', '/quiet-hours', { zone: 'UTC', from: '21:00', until: '07:00' }],
      [keeper, 'GET', '/probes'],
    ];
    await keeper.ask('POST', `${path}/entries`, { entries });
    await withOneShard(url, spread, async () => {
      for (const [who, method, rest, body] of asked) {
        const response = await who.ask(method, `${path}${rest}`, body);
        expect([method, rest, response.status, response.ok ? '' : await response.text()]).toEqual([
          method,
          rest,
          expect.toSatisfy((status: number) => status < 300),
          '',
        ]);
      }
      // Who has a part in which tanks is asked of all parts.
      expect((await keeper.ask('GET', '/api/tanks')).status).toBe(500);
    });
    expect((await keeper.ask('GET', '/api/tanks')).status).toBe(200);
    await server.close();
  }, 60_000);
});
