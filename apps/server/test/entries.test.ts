import { newEntryId } from '@brinewright/journal';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { SHARED, type TestServer, testServer } from './support/server.ts';
import { note, notes, startedTank, tankOf } from './support/tanks.ts';

let server: TestServer;
beforeEach(async () => {
  server = await testServer();
});
afterEach(() => server.close());

const tank = tankOf(1);
const path = `/api/tanks/${tank}/entries`;

const push = (entries: unknown, to = path, headers: Record<string, string> = {}) =>
  server.app.request(to, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json', ...headers },
    body: JSON.stringify({ entries }),
  });
const pull = (query = '', headers: Record<string, string> = {}) =>
  server.app.request(`${path}${query}`, { headers });

describe('entries handed over', () => {
  it('are kept, and known when they come again', async () => {
    const three = notes(tank, 0, 3);
    expect(await (await push(three)).json()).toEqual({
      added: three.map(({ id }) => id),
      known: [],
      clashes: [],
    });
    expect(await (await push([...three, note(tank, 3)])).json()).toEqual({
      added: [note(tank, 3).id],
      known: three.map(({ id }) => id),
      clashes: [],
    });
    expect(await server.services.store.count()).toBe(4);
  });

  it('have their tanks reckoned anew when their devices have had time to end, each asked for once', async () => {
    const other = tankOf(2);
    for (let n = 0; n < 5; n++) await push([note(tank, n)]);
    await push([note(other, 0)], `/api/tanks/${other}/entries`);
    await push([note(tank, 0)]);
    await server.services.moved.settle();
    expect(
      await server.services.database.all('select subject, due, wanted from task order by subject'),
    ).toEqual([
      { subject: tank, due: server.time + 5000, wanted: 1 },
      { subject: other, due: server.time + 5000, wanted: 1 },
    ]);
  });

  it('that clash are named and change nothing, while the others are kept', async () => {
    await push([note(tank, 0)]);
    const other = { ...note(tank, 0), body: { text: 'something else' } };
    const answer = await (await push([other, note(tank, 1)])).json();
    expect(answer).toEqual({ added: [note(tank, 1).id], known: [], clashes: [other.id] });
    const { entries } = await (await pull()).json();
    expect(entries).toEqual([note(tank, 0), note(tank, 1)]);
  });

  it('are all refused where one is not sound, with a pointer to each place', async () => {
    const dose = { ...note(tank, 1), kind: 'dose', body: { substance: 'ammonium-chloride', nitrogenMg: -2 } };
    const reading = { ...note(tank, 2), kind: 'reading', body: { analyte: 'nitrite', value: 5 } };
    const response = await push([note(tank, 0), dose, reading, note(tankOf(2), 3)]);
    expect(response.status).toBe(422);
    expect(response.headers.get('content-type')).toBe('application/problem+json');
    const problem = await response.json();
    expect(problem.type).toBe('urn:brinewright:problem:unsound');
    expect(problem.errors.map(({ pointer }: { pointer: string }) => pointer).sort()).toEqual([
      '/entries/1/body/nitrogenMg',
      '/entries/2/body/as',
      '/entries/3/tank',
    ]);
    expect(await server.services.store.count()).toBe(0);
  });

  it.each([
    ['no JSON', '{"entries":', 400, 'not-json'],
    ['no list', '{"entries":7}', 422, 'unsound'],
    ['null', 'null', 422, 'unsound'],
    [
      'a pit of brackets',
      `{"entries":[{"id":"${newEntryId(1, new Uint8Array(10))}","tank":"${tank}","at":"2026-03-01T08:00:00Z","kind":"later","body":${'{"a":'.repeat(5000)}1${'}'.repeat(5000)}}]}`,
      422,
      'unsound',
    ],
  ])('are refused as %s', async (_, body, status, kind) => {
    const response = await server.app.request(path, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body,
    });
    expect(response.status).toBe(status);
    expect((await response.json()).type).toBe(`urn:brinewright:problem:${kind}`);
  });

  it('are refused when they are too many or too large', async () => {
    expect((await push(notes(tank, 0, 1001))).status).toBe(413);
    const wide = [{ ...note(tank, 0), body: { text: 'x'.repeat(5 * 1024 * 1024) } }];
    expect((await push(wide)).status).toBe(413);
    expect(await server.services.store.count()).toBe(0);
  });

  it('keep kinds and fields of a later version', async () => {
    const later = { ...note(tank, 0), kind: 'moonlight', body: { lux: 0.2 }, weather: 'clear' };
    expect((await push([later])).status).toBe(200);
    expect((await (await pull()).json()).entries).toEqual([later]);
  });

  it('of a page of somebody else are refused', async () => {
    const foreign = await push([note(tank, 0)], path, { Origin: 'https://elsewhere.example' });
    expect(foreign.status).toBe(403);
    const cross = await push([note(tank, 0)], path, { 'Sec-Fetch-Site': 'cross-site' });
    expect(cross.status).toBe(403);
    const own = await push([note(tank, 0)], path, {
      Origin: 'http://localhost',
      'Sec-Fetch-Site': 'same-origin',
    });
    expect(own.status).toBe(200);
  });

  it('are not shown to a foreign name that points to this machine', async () => {
    await push([note(tank, 0)]);
    expect((await pull('', { Host: 'rebound.example:4270' })).status).toBe(403);
    expect((await pull('', { Host: '127.0.0.1:4270' })).status).toBe(200);
  });
});

describe('entries asked for', () => {
  it('come page by page in order of arrival, and then no more', async () => {
    const all = notes(tank, 0, 25);
    await push(all);
    await push(notes(tankOf(2), 0, 5), `/api/tanks/${tankOf(2)}/entries`);
    const seen: unknown[] = [];
    let place: string | null = null;
    for (let more = true; more; ) {
      const answer = await (await pull(`?limit=10${place === null ? '' : `&after=${place}`}`)).json();
      seen.push(...answer.entries);
      ({ place, more } = answer);
    }
    expect(seen).toEqual(all);
    expect(await (await pull(`?after=${place}`)).json()).toEqual({ entries: [], place, more: false });
    await push([note(tank, 30)]);
    expect((await (await pull(`?after=${place}`)).json()).entries).toEqual([note(tank, 30)]);
  });

  it('are not sent again to whoever holds them', async () => {
    await push(notes(tank, 0, 3));
    const tag = (await pull()).headers.get('etag') ?? '';
    const again = await pull('', { 'If-None-Match': tag });
    expect(again.status).toBe(304);
    expect(await again.text()).toBe('');
    await push([note(tank, 3)]);
    expect((await pull('', { 'If-None-Match': tag })).status).toBe(200);
  });

  it('are sent compressed to whoever can read that', async () => {
    await push(notes(tank, 0, 50));
    const response = await pull('', { 'Accept-Encoding': 'gzip' });
    expect(response.headers.get('content-encoding')).toBe('gzip');
    const text = await new Response(response.body?.pipeThrough(new DecompressionStream('gzip'))).text();
    expect(JSON.parse(text).entries).toHaveLength(50);
  });

  it('after a place that is not of this journal are refused, so that the asker begins anew', async () => {
    await push(notes(tank, 0, 3));
    const { place } = await (await pull()).json();
    const elsewhere = place.replace(/^\d+/, '999');
    expect((await pull(`?after=${elsewhere}`)).status).toBe(410);
    expect((await pull(`?after=${place.replace(/^\d+/, '1')}`)).status).toBe(410);
    expect((await pull('?after=yesterday')).status).toBe(422);
    expect((await pull('?limit=0')).status).toBe(422);
  });

  it('of a tank that is not here, or of no tank, are told apart', async () => {
    expect((await pull()).status).toBe(404);
    expect((await server.app.request('/api/tanks/seven/entries')).status).toBe(422);
    expect((await server.app.request('/api/nothing')).status).toBe(404);
  });

  it('can be asked for by what is lacking', async () => {
    await push(notes(tank, 0, 2));
    const ids = notes(tank, 0, 4).map(({ id }) => id);
    const response = await server.app.request(`/api/tanks/${tank}/lacking`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ ids }),
    });
    expect(await response.json()).toEqual({ lacking: ids.slice(2) });
  });
});

describe('callers', () => {
  it('of a shared server are told to wait when they ask too often', async () => {
    const shared = await testServer({ mode: SHARED });
    const statuses = new Set<number>();
    let last: Response | undefined;
    for (let i = 0; i < 500 && last?.status !== 429; i++) {
      last = await shared.app.request('/api/tanks');
      statuses.add(last.status);
    }
    expect([...statuses]).toEqual([401, 429]);
    expect(Number(last?.headers.get('retry-after'))).toBeGreaterThan(0);
    await shared.close();
  });
});

describe('tanks', () => {
  it('are listed with the place of their newest entry', async () => {
    expect(await (await server.app.request('/api/tanks')).json()).toEqual([]);
    await push(startedTank(tank, 'North bench'));
    const [first] = await (await server.app.request('/api/tanks')).json();
    const { place } = await (await pull()).json();
    expect(first).toEqual({ tank, role: 'keeper', place });
  });
});
