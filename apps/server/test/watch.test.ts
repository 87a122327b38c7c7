import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, it } from 'vitest';
import { describeInterface } from '../src/openapi.ts';
import { SHARED, type TestServer, testServer } from './support/server.ts';
import { note, tankOf } from './support/tanks.ts';

let server: TestServer;
afterEach(() => server?.close());

describe('for whoever looks after the machine', () => {
  it('health is told while the database answers, and not when it does not', async () => {
    server = await testServer();
    expect(await (await server.app.request('/health')).json()).toEqual({ health: 'well' });
    await server.services.database.close();
    const broken = await server.app.request('/health');
    expect(broken.status).toBe(500);
    expect(broken.headers.get('content-type')).toBe('application/problem+json');
  });

  it('metrics count by route, in the text format', async () => {
    server = await testServer();
    await server.app.request(`/api/tanks/${tankOf(1)}/entries`);
    await server.app.request(`/api/tanks/${tankOf(2)}/entries`);
    const text = await (await server.app.request('/metrics')).text();
    expect(text).toContain(
      'brinewright_requests_total{route="GET /api/tanks/:tank/entries",status="404"} 2\n',
    );
    expect(text).toMatch(/^# TYPE brinewright_request_seconds histogram$/m);
    expect(text).not.toContain(tankOf(1));
    for (const line of text.trimEnd().split('\n'))
      expect(line).toMatch(/^(# (HELP|TYPE) .+|[a-z_]+(\{[^{}]+\})? [\d.e+-]+)$/);
  });

  it('metrics of a shared server need their token', async () => {
    server = await testServer({ mode: SHARED, metricsToken: 'open up' });
    const ask = (Authorization: string) => server.app.request('/metrics', { headers: { Authorization } });
    expect((await server.app.request('/metrics')).status).toBe(404);
    expect((await ask('Bearer guess')).status).toBe(404);
    expect((await ask('Bearer open up')).status).toBe(200);
  });

  it('the log says what happened as JSON lines, and nothing of whom', async () => {
    server = await testServer();
    const secret = { ...note(tankOf(1), 0), by: 'Wilhelmina', body: { text: 'Wilhelmina was here' } };
    await server.app.request(`/api/tanks/${tankOf(1)}/entries`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json', Cookie: 'a=Wilhelmina', 'User-Agent': 'Wilhelmina' },
      body: JSON.stringify({ entries: [secret] }),
    });
    await server.services.database.close();
    await server.app.request('/api/tanks');
    const lines = server.logged.map((line) => JSON.parse(line));
    expect(lines.map(({ event }) => event)).toContain('request');
    expect(lines.find(({ event }) => event === 'request')).toMatchObject({
      at: '2026-03-06T12:00:00.000Z',
      route: 'POST /api/tanks/:tank/entries',
      status: 200,
    });
    expect(server.logged.join('')).not.toContain('Wilhelmina');
    expect(server.logged.join('')).not.toContain(tankOf(1));
  });

  it('every answer forbids to run, frame or sniff it', async () => {
    server = await testServer();
    for (const path of ['/health', '/api/tanks', '/api/none', '/nowhere']) {
      const { headers } = await server.app.request(path);
      expect(headers.get('content-security-policy')).toContain("default-src 'none'");
      expect(headers.get('x-content-type-options')).toBe('nosniff');
    }
  });
});

describe('the description of the interface', () => {
  it('is the committed one: npx tsx tools/write-server.ts writes it', async () => {
    const committed = readFileSync(new URL('../../../schema/openapi.json', import.meta.url), 'utf8');
    expect(`${JSON.stringify(await describeInterface(), null, 2)}\n`).toBe(committed);
  });

  it('is served beside what it describes', async () => {
    server = await testServer();
    const document = await (await server.app.request('/api/openapi.json')).json();
    expect(document.openapi).toBe('3.1.0');
    expect(document).toEqual(JSON.parse(JSON.stringify(await describeInterface())));
  });
});
