import { readFileSync } from 'node:fs';
import { connectAsync } from 'mqtt';
import { afterAll, afterEach, beforeEach, describe, expect, it } from 'vitest';
import { listenToProbes } from '../src/probes/mqtt.ts';
import { brokerOrNone } from './support/broker.ts';
import { type TestServer, testServer } from './support/server.ts';
import { note, tankOf } from './support/tanks.ts';

const broker = await brokerOrNone();
const tank = tankOf(1);

let server: TestServer;
let token: string;

const post = async (path: string, body: unknown) =>
  (
    await server.app.request(path, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify(body),
    })
  ).json();
const values = async (): Promise<readonly number[]> => {
  const { entries } = await (await server.app.request(`/api/tanks/${tank}/entries`)).json();
  return entries.flatMap(({ kind, body }: { kind: string; body: { value: number } }) =>
    kind === 'reading' ? [body.value] : [],
  );
};

beforeEach(async () => {
  server = await testServer();
  await post(`/api/tanks/${tank}/entries`, { entries: [note(tank, 0)] });
  ({ token } = await post(`/api/tanks/${tank}/probes`, { name: 'sump', analyte: 'temperature' }));
});
afterEach(() => server.close());
afterAll(() => broker?.stop());

describe.skipIf(broker === undefined)('a broker with TLS that speaks MQTT 5', () => {
  const { url = '', trust = '', otherTrust = '' } = broker ?? {};

  it('carries values of probes of either version, and keeps them while the server is away', async () => {
    const ca = readFileSync(trust);
    const [old, young] = [
      await connectAsync(url, { protocolVersion: 4, ca }),
      await connectAsync(url, { protocolVersion: 5, ca }),
    ];
    const publish = (probe: typeof old, value: number, minute: number) =>
      probe.publishAsync(
        'brinewright/probes/sump',
        JSON.stringify({ token, value, at: `2026-03-06T10:${minute}:00Z` }),
        { qos: 1 },
      );
    const listening = await listenToProbes(server.services, url, trust);
    await publish(old, 25, 10);
    await publish(young, 25.5, 20);
    await expect.poll(values).toEqual([25, 25.5]);
    await listening.close();

    await publish(young, 26, 30);
    const again = await listenToProbes(server.services, url, trust);
    await expect.poll(values).toEqual([25, 25.5, 26]);
    await Promise.all([again.close(), old.endAsync(), young.endAsync()]);
  }, 20_000);

  it('is not listened to where its certificate cannot be trusted', async () => {
    await expect(listenToProbes(server.services, url, otherTrust)).rejects.toThrow(/certificate|signature/i);
    await expect(listenToProbes(server.services, url)).rejects.toThrow(/certificate|signature/i);
  }, 20_000);
});
