import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type Member, memberOf } from './support/people.ts';
import { SHARED, type TestServer, testServer } from './support/server.ts';
import { note, startedTank, tankOf } from './support/tanks.ts';

let server: TestServer;
let keeper: Member;
const tank = tankOf(1);
const home = `/api/tanks/${tank}`;

beforeEach(async () => {
  server = await testServer({ mode: SHARED });
  keeper = await memberOf(server, tank, 'keeper', 'Ines');
  const name = 'North bench; <b>room 2</b>, left';
  await keeper.visitor.ask('POST', `${home}/entries`, {
    entries: startedTank(tank, name, server.time - 5 * 86_400_000),
  });
});
afterEach(() => server.close());

const newAddress = async () => {
  const { address } = await (await keeper.visitor.ask('POST', '/api/calendar')).json();
  return new URL(address).pathname;
};
/** As a calendar program asks: without a cookie. */
const feed = (path: string, headers: Record<string, string> = {}) =>
  server.app.request(path, { headers: { Host: 'tanks.example', ...headers } });

/** Has the tank reckoned, as a look at its orders does. */
const reckoned = async () => (await keeper.visitor.ask('GET', `${home}/orders`)).json();

describe('the calendar', () => {
  it('has an event for each order, with alarms for those that are due soon, the same bytes each time', async () => {
    const orders = await reckoned();
    const path = await newAddress();
    const response = await feed(path);
    expect(response.headers.get('content-type')).toBe('text/calendar; charset=utf-8');
    const text = await response.text();
    const dated = orders.filter((order: { do: string }) => order.do !== 'wait');
    expect(dated.length).toBeGreaterThan(0);
    expect(text.match(/^BEGIN:VEVENT\r$/gm)).toHaveLength(dated.length);
    const soon = dated.filter((order: { urgency: string }) => order.urgency !== 'whenever');
    expect(text.match(/^BEGIN:VALARM\r$/gm) ?? []).toHaveLength(soon.length);
    expect(text).toContain('North bench\\; <b>room 2</b>\\, left');
    for (const line of text.split('\r\n')) expect(Buffer.byteLength(line)).toBeLessThanOrEqual(75);
    expect(text).not.toContain(tank);
    expect(await (await feed(path)).text()).toBe(text);
    const held = { 'If-None-Match': response.headers.get('etag') ?? '' };
    expect((await feed(path, held)).status).toBe(304);
  });

  it('has what a mentor proposed once a keeper accepted it', async () => {
    const mentor = await memberOf(server, tank, 'mentor', 'Ruth');
    const order = {
      do: 'test',
      when: '2026-03-08T09:00:00Z',
      what: {},
      say: 'Test alkalinity before the weekend.',
      urgency: 'soon',
    };
    const path = await newAddress();
    const { id } = await (await mentor.visitor.ask('POST', `${home}/proposals`, order)).json();
    expect(await (await feed(path)).text()).not.toContain('alkalinity before');
    await keeper.visitor.ask('POST', `${home}/proposals/${id}/acceptance`);
    const unfolded = (await (await feed(path)).text()).replaceAll('\r\n ', '');
    expect(unfolded).toContain('Test alkalinity before the weekend.');
    expect(unfolded).toContain('DTSTART:20260308T090000Z');
  });

  it('ends when its owner asks for another, ends it, loses the tank or goes', async () => {
    const first = await newAddress();
    const second = await newAddress();
    expect((await feed(first)).status).toBe(404);
    expect((await feed(second)).status).toBe(200);
    await keeper.visitor.ask('DELETE', '/api/calendar');
    expect((await feed(second)).status).toBe(404);

    const other = await memberOf(server, tank, 'keeper', 'Tomas');
    const third = await newAddress();
    await other.visitor.ask('DELETE', `${home}/crew/${keeper.account}`);
    expect(await (await feed(third)).text()).not.toContain('VEVENT');
    await keeper.visitor.ask('DELETE', '/api/self', { name: 'Ines' });
    expect((await feed(third)).status).toBe(404);
  });
});

describe('the digest', () => {
  it('is a page that says where each tank stands and what to do, and lets nothing written there run', async () => {
    const [order] = await reckoned();
    const response = await keeper.visitor.ask('GET', '/digest?zone=Pacific/Auckland');
    expect(response.headers.get('content-security-policy')).toContain("default-src 'none'; style-src 'self'");
    const page = await response.text();
    expect(page).toMatch(/<h1>Saturday,? 7 March 2026<\/h1>/);
    expect(page).toContain('<h2>North bench; &lt;b&gt;room 2&lt;/b&gt;, left</h2>');
    expect(page).toContain(order.say.slice(0, 20));
    expect((await keeper.visitor.ask('GET', '/digest?zone=Nowhere/Here')).status).toBe(422);
    expect(await (await server.app.request('/plain.css')).text()).toContain('@media print');
  });

  it('says what is not reckoned yet, and has it reckoned', async () => {
    const fresh = tankOf(2);
    await keeper.visitor.ask('POST', `/api/tanks/${fresh}/entries`, { entries: [note(fresh, 0)] });
    expect(await (await keeper.visitor.ask('GET', '/digest')).text()).toContain('Not reckoned yet.');
    const waiting = await server.services.database.all('select kind, subject from task order by subject');
    expect(waiting).toContainEqual({ kind: 'refit', subject: fresh });
  });
});
