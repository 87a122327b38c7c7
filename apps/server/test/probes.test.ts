import { once } from 'node:events';
import { type AddressInfo, createServer } from 'node:net';
import { Aedes } from 'aedes';
import { connectAsync } from 'mqtt';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { keepListening, listenToProbes } from '../src/probes/mqtt.ts';
import { type TestServer, testServer } from './support/server.ts';
import { note, tankOf } from './support/tanks.ts';

let server: TestServer;
let token: string;
let id: string;
const tank = tankOf(1);
const home = `/api/tanks/${tank}`;

const ask = (method: string, path: string, body?: unknown, headers: Record<string, string> = {}) =>
  server.app.request(path, {
    method,
    headers: { ...headers, ...(body === undefined ? {} : { 'Content-Type': 'application/json' }) },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
const send = (values: readonly object[], by = token) =>
  ask('POST', '/api/probe-values', { values }, { Authorization: `Bearer ${by}` });
const readings = async () => {
  const { entries } = await (await ask('GET', `${home}/entries`)).json();
  return entries.filter(({ kind }: { kind: string }) => kind === 'reading');
};

beforeEach(async () => {
  server = await testServer();
  await ask('POST', `${home}/entries`, { entries: [note(tank, 0)] });
  const added = await ask('POST', `${home}/probes`, { name: 'sump thermometer', analyte: 'temperature' });
  ({ token, id } = await added.json());
});
afterEach(() => server.close());

describe('a probe over HTTP', () => {
  it('is declared as an instrument and writes readings that name it', async () => {
    const answer = await (await send([{ at: '2026-03-06T11:00:00Z', value: 25.3 }, { value: 25.35 }])).json();
    expect(answer).toEqual({
      written: [{ at: '2026-03-06T11:00:00.000Z', value: 25.3 }],
      thinned: 1,
      aside: [],
    });
    const [reading] = await readings();
    expect(reading).toMatchObject({
      at: '2026-03-06T11:00:00.000Z',
      by: id,
      body: { analyte: 'temperature', value: 25.3, kit: 'sump thermometer' },
    });
    const [probe] = await (await ask('GET', `${home}/probes`)).json();
    expect(probe).toMatchObject({
      id,
      heard: '2026-03-06T12:00:00.000Z',
      written: { at: '2026-03-06T11:00:00.000Z', value: 25.3 },
    });
  });

  it('that sends the same again writes nothing twice', async () => {
    const hour = [
      { at: '2026-03-06T10:00:00Z', value: 25 },
      { at: '2026-03-06T10:30:00Z', value: 25.4 },
    ];
    expect((await (await send(hour)).json()).written).toHaveLength(2);
    expect(await readings()).toHaveLength(2);
    expect((await (await send(hour)).json()).aside.map(({ why }: { why: string }) => why)).toEqual([
      'late',
      'late',
    ]);
    expect(await readings()).toHaveLength(2);
  });

  it('whose value could not be written into the journal has it written when it is heard next', async () => {
    const { store } = server.services;
    const { append } = store;
    Object.assign(store, { append: () => Promise.reject(new Error('the disk is full')) });
    expect((await send([{ at: '2026-03-06T10:00:00Z', value: 25 }])).status).toBe(500);
    Object.assign(store, { append });
    expect(await readings()).toEqual([]);
    expect((await send([{ at: '2026-03-06T10:30:00Z', value: 25.1 }])).status).toBe(200);
    expect(await readings()).toMatchObject([{ at: '2026-03-06T10:00:00.000Z', body: { value: 25 } }]);
  });

  it('has what cannot be kept apart and told, and not written', async () => {
    await send([
      { at: '2026-03-06T10:00:00Z', value: 25 },
      { at: '2026-03-06T10:10:00Z', value: 85 },
      { at: '2026-03-06T23:00:00Z', value: 25 },
    ]);
    expect(await readings()).toHaveLength(1);
    expect(await (await ask('GET', `${home}/probes/${id}/aside`)).json()).toEqual([
      { at: '2026-03-06T23:00:00.000Z', value: '25', why: 'clock' },
      { at: '2026-03-06T10:10:00.000Z', value: '85', why: 'impossible' },
    ]);
  });

  it('needs its own token, until it is taken away', async () => {
    expect((await send([{ value: 25 }], 'guess')).status).toBe(401);
    expect((await ask('POST', '/api/probe-values', { values: [{ value: 25 }] })).status).toBe(401);
    expect((await send([{ value: '25' }])).status).toBe(422);
    await send([{ value: 85 }, { value: 25 }]);
    expect((await ask('DELETE', `${home}/probes/${id}`)).status).toBe(204);
    expect((await send([{ value: 25 }])).status).toBe(401);
    expect(await readings()).toHaveLength(1);
    expect(await server.services.database.all('select * from probe_aside')).toEqual([]);
  });

  it('is thinned once when its values reach two processes at once', async () => {
    const other = await testServer({ folder: server.folder });
    const answers = await Promise.all(
      Array.from({ length: 20 }, (_, i) =>
        (i % 2 === 0 ? server : other).app.request('/api/probe-values', {
          method: 'POST',
          headers: { Authorization: `Bearer ${token}`, 'Content-Type': 'application/json' },
          body: JSON.stringify({
            values: [{ at: `2026-03-06T10:${10 + i}:00Z`, value: 25 + (i % 2) / 100 }],
          }),
        }),
      ),
    );
    expect(new Set(answers.map(({ status }) => status))).toEqual(new Set([200]));
    const [first] = await readings();
    expect(await readings()).toEqual([first]);
    await other.close();
  });
});

describe('a probe over MQTT', () => {
  it('is heard once its broker is there, however late', async () => {
    const socket = createServer().listen(0, '127.0.0.1');
    await once(socket, 'listening');
    const { port } = socket.address() as AddressInfo;
    socket.close();
    const url = `mqtt://127.0.0.1:${port}`;
    const listening = keepListening(server.services, url, undefined, 20);
    const failures = () => server.logged.filter((line) => line.includes('probe-broker-failed')).length;
    await expect.poll(failures).toBeGreaterThan(1);

    const broker = await Aedes.createBroker();
    const subscribed = once(broker, 'subscribe');
    const late = createServer(broker.handle).listen(port, '127.0.0.1');
    await subscribed;
    const probe = await connectAsync(url);
    await probe.publishAsync('brinewright/probes/sump', JSON.stringify({ token, value: 25 }), { qos: 1 });
    await expect.poll(async () => (await readings()).length).toBe(1);
    await probe.endAsync();
    await listening.close();
    await new Promise<void>((closed) => broker.close(() => closed()));
    late.close();
  });

  it('is heard, and what it sent while the server was away is there afterwards', async () => {
    const broker = await Aedes.createBroker();
    const socket = createServer(broker.handle);
    socket.listen(0, '127.0.0.1');
    await once(socket, 'listening');
    const url = `mqtt://127.0.0.1:${(socket.address() as AddressInfo).port}`;
    const probe = await connectAsync(url);
    const publish = (value: unknown, minute: number) =>
      probe.publishAsync(
        'brinewright/probes/sump',
        JSON.stringify({ token, value, at: `2026-03-06T10:${minute}:00Z` }),
        { qos: 1 },
      );

    const listening = await listenToProbes(server.services, url);
    await publish(25, 10);
    await publish('warm', 15);
    await probe.publishAsync('brinewright/probes/sump', 'not JSON', { qos: 1 });
    await publish(25.5, 20);
    await expect.poll(async () => (await readings()).length).toBe(2);
    await listening.close();

    await publish(26, 30);
    const again = await listenToProbes(server.services, url);
    await expect
      .poll(async () => (await readings()).map(({ body }: { body: { value: number } }) => body.value))
      .toEqual([25, 25.5, 26]);
    expect(server.logged.filter((line) => line.includes('probe-message-unsound'))).toHaveLength(2);
    await again.close();
    await probe.endAsync();
    await new Promise<void>((closed) => broker.close(() => closed()));
    socket.close();
  });
});
