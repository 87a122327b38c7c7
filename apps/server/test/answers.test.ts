import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type TestServer, testServer } from './support/server.ts';
import { note, startedTank, tankOf } from './support/tanks.ts';

let server: TestServer;
let reckoned: number;
beforeEach(async () => {
  server = await testServer();
  const { ask } = server.services.reckoner;
  reckoned = 0;
  Object.assign(server.services.reckoner, {
    ask: (question: Parameters<typeof ask>[0]) => {
      reckoned += 1;
      return ask(question);
    },
  });
  return async () => void Object.assign(server.services.reckoner, { ask });
});
afterEach(() => server.close());

const tank = tankOf(1);

const push = (entries: readonly object[]) =>
  server.app.request(`/api/tanks/${tank}/entries`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ entries }),
  });
const ask = (path: string, headers: Record<string, string> = {}) => server.app.request(path, { headers });

describe('answers about a tank', () => {
  it('say where it stands and where it goes, and are reckoned once while nothing is written', async () => {
    await push(startedTank(tank, 'North bench'));
    const course = await (await ask(`/api/tanks/${tank}/course`)).json();
    expect(course.tank).toBe(tank);
    expect(course.asOf).toBe('2026-03-06T12:00:00.000Z');
    expect(course.series.map(({ analyte }: { analyte: string }) => analyte)).toEqual([
      'ammonia',
      'nitrite',
      'nitrate',
    ]);
    const response = await ask(`/api/tanks/${tank}/sheet`);
    const sheet = await response.json();
    expect(sheet.course).toEqual(course);
    expect(sheet.sentence).toContain('North bench');
    expect(reckoned).toBe(1);

    const held = { 'If-None-Match': response.headers.get('etag') ?? '' };
    expect((await ask(`/api/tanks/${tank}/sheet`, held)).status).toBe(304);
    server.time += 2 * 3_600_000;
    expect((await ask(`/api/tanks/${tank}/sheet`, held)).status).toBe(200);
    expect(reckoned).toBe(2);
    await push([note(tank, 3)]);
    expect((await ask(`/api/tanks/${tank}/sheet`)).status).toBe(200);
    expect(reckoned).toBe(3);
  }, 20_000);

  it('of another instant, horizon or seed repeat byte for byte', async () => {
    await push(startedTank(tank, 'North bench'));
    const path = `/api/tanks/${tank}/course?asOf=2026-03-05T12:00:00Z&days=30&seed=4`;
    const first = await ask(path);
    const text = await first.text();
    expect(JSON.parse(text).asOf).toBe('2026-03-05T12:00:00.000Z');
    expect(await (await ask(path)).text()).toBe(text);
    const held = { 'If-None-Match': first.headers.get('etag') ?? '' };
    expect((await ask(path, held)).status).toBe(304);
    expect(reckoned).toBe(2);
  }, 20_000);

  it('that the journal cannot give say what would make them possible', async () => {
    await push(startedTank(tank, 'North bench'));
    const response = await ask(`/api/tanks/${tank}/course?asOf=2026-02-01T08:00:00Z`);
    expect(response.status).toBe(409);
    expect((await response.json()).detail).toMatch(/give a later instant/);
    expect((await ask(`/api/tanks/${tank}/course?asOf=lately`)).status).toBe(422);
    expect((await ask(`/api/tanks/${tank}/course?days=1000`)).status).toBe(422);
    expect((await ask(`/api/tanks/${tankOf(9)}/course`)).status).toBe(404);
  });
});

describe('rounds', () => {
  it('tell what was last reckoned at once, and have the rest reckoned meanwhile', async () => {
    await push(startedTank(tank, 'North bench'));
    const [before] = await (await ask('/api/rounds')).json();
    expect(before).toEqual({
      tank,
      name: null,
      asOf: null,
      current: false,
      stage: null,
      ready: null,
      order: null,
      sentence: 'Not reckoned yet.',
    });
    await server.services.queue.start(server.services);
    await expect
      .poll(async () => (await (await ask('/api/rounds')).json())[0], { timeout: 10_000 })
      .toMatchObject({ name: 'North bench', current: true, asOf: '2026-03-06T12:00:00.000Z' });
    const [round] = await (await ask('/api/rounds')).json();
    expect(round.sentence).toMatch(/^North bench /);
    const [order] = await (await ask(`/api/tanks/${tank}/orders`)).json();
    expect(round.order).toEqual({ say: order.say, when: order.when, urgency: order.urgency });
    expect(reckoned).toBe(1);
  }, 20_000);
});
