import { parseJournal } from '@brinewright/journal';
import { unzipSync } from 'fflate';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Member, memberOf, stranger } from './support/people.ts';
import { SHARED, type TestServer, testServer } from './support/server.ts';
import { note, notes, tankOf } from './support/tanks.ts';

const [own, left, others] = [tankOf(1), tankOf(2), tankOf(3)];
const DAY = 86_400_000;

let server: TestServer;
let ines: Member;

beforeEach(async () => {
  server = await testServer({ mode: SHARED });
  ines = await memberOf(server, own, 'keeper', 'Ines');
});
afterEach(() => server.close());

const list = async () => (await ines.visitor.ask('GET', '/api/exports')).json();

async function made(): Promise<string> {
  const { id } = await (await ines.visitor.ask('POST', '/api/exports')).json();
  await server.services.queue.start(server.services);
  await expect
    .poll(async () => (await (await ines.visitor.ask('GET', `/api/exports/${id}`)).json()).state)
    .toBe('ready');
  return id;
}

describe('everything a person wrote', () => {
  it('is made into one file by a job: their tanks, what they wrote elsewhere, and their account', async () => {
    const mine = notes(own, 0, 2500);
    const elsewhere = note(left, 1, { by: ines.account });
    await server.services.store.append([...mine, elsewhere, note(left, 2), note(others, 1)]);
    const id = await made();
    const file = await ines.visitor.ask('GET', `/api/exports/${id}/file`);
    expect(file.headers.get('content-type')).toBe('application/zip');
    const bytes = new Uint8Array(await file.arrayBuffer());
    expect(file.headers.get('content-length')).toBe(String(bytes.length));
    const { 'journal.ndjson': journal, 'account.json': account } = unzipSync(bytes);
    const { entries, problems } = parseJournal(new TextDecoder().decode(journal));
    expect(problems).toEqual([]);
    expect(entries).toEqual([...mine, elsewhere]);
    expect(JSON.parse(new TextDecoder().decode(account))).toMatchObject({
      account: ines.account,
      name: 'Ines',
    });
  });

  it('is asked for once while it waits, and is nobody else’s', async () => {
    const ask = async () => (await (await ines.visitor.ask('POST', '/api/exports')).json()).id;
    const id = await ask();
    expect(await ask()).toBe(id);
    expect(await list()).toMatchObject([{ id, state: 'waiting', bytes: 0 }]);
    expect((await ines.visitor.ask('GET', `/api/exports/${id}/file`)).status).toBe(404);
    const { visitor } = await stranger(server, 'Tomas');
    for (const [method, path] of [
      ['GET', `/api/exports/${id}`],
      ['GET', `/api/exports/${id}/file`],
      ['DELETE', `/api/exports/${id}`],
    ] as const)
      expect((await visitor.ask(method, path)).status).toBe(404);
    expect(await list()).toHaveLength(1);
  });

  it('is removed after two days, when its owner says so, and with the account', async () => {
    const first = await made();
    server.time += 2 * DAY;
    expect(await list()).toEqual([]);
    await expect.poll(() => server.services.database.all('select id from export')).toEqual([]);
    expect((await ines.visitor.ask('GET', `/api/exports/${first}/file`)).status).toBe(404);
    const { id } = await (await ines.visitor.ask('POST', '/api/exports')).json();
    expect((await ines.visitor.ask('DELETE', `/api/exports/${id}`)).status).toBe(204);
    await ines.visitor.ask('POST', '/api/exports');
    await ines.visitor.ask('DELETE', '/api/self', { name: 'Ines' });
    expect(await server.services.database.all('select export from export_part')).toEqual([]);
  });

  it('on a server for one is the whole journal', async () => {
    const alone = await testServer();
    await alone.services.store.append([...notes(own, 0, 3), ...notes(left, 0, 3)]);
    const { id } = await (await alone.app.request('/api/exports', { method: 'POST' })).json();
    await alone.services.queue.start(alone.services);
    await expect.poll(async () => (await alone.app.request(`/api/exports/${id}/file`)).status).toBe(200);
    const bytes = await (await alone.app.request(`/api/exports/${id}/file`)).arrayBuffer();
    const files = unzipSync(new Uint8Array(bytes));
    expect(Object.keys(files)).toEqual(['journal.ndjson']);
    expect(parseJournal(new TextDecoder().decode(files['journal.ndjson'])).entries).toHaveLength(6);
    await alone.close();
  });
});
