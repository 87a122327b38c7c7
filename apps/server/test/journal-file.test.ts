import { lineOf, parseJournal, writeJournal } from '@brinewright/journal';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type TestServer, testServer } from './support/server.ts';
import { note, notes, tankOf } from './support/tanks.ts';

let server: TestServer;
beforeEach(async () => {
  server = await testServer();
});
afterEach(() => server.close());

const bring = (body: string | Uint8Array<ArrayBuffer>) =>
  server.app.request('/api/journal', {
    method: 'POST',
    headers: { 'Content-Type': 'application/x-ndjson' },
    body,
  });
const send = async () => (await server.app.request('/api/journal')).text();

describe('the journal as a file', () => {
  it('comes back with every entry, line for line as it was brought in', async () => {
    const spaced = `{ "id":"${note(tankOf(1), 50).id}", "tank":"${tankOf(1)}", "at":"2026-03-01T08:00:00+01:00", "kind":"note", "body":{"text":"spaced", "t":1.0} }`;
    const file = `${writeJournal(notes(tankOf(1), 0, 3))}${spaced}\n`;
    expect(await (await bring(file)).json()).toEqual({ added: 4, known: 0, problems: [] });
    expect(await (await bring(file)).json()).toEqual({ added: 0, known: 4, problems: [] });
    expect(await send()).toBe(file);
  });

  it('holds more than one batch of several tanks', async () => {
    const entries = [...notes(tankOf(1), 0, 1500), ...notes(tankOf(2), 0, 700)];
    expect((await (await bring(writeJournal(entries))).json()).added).toBe(2200);
    const read = parseJournal(await send(), { strict: true });
    expect(read.entries.map(lineOf)).toEqual(entries.map(lineOf));
  });

  it('is brought in as far as it is sound, and each bad line is told', async () => {
    const good = notes(tankOf(1), 0, 2).map(lineOf);
    const file = ['{"journal":1}', good[0], '{"id":', good[1], `{"id":"x"}`, ''].join('\n');
    const report = await (await bring(file)).json();
    expect(report.added).toBe(2);
    expect(new Set(report.problems.map(({ line }: { line: number }) => line))).toEqual(new Set([3, 5]));
    expect(report.problems[0]).toMatchObject({ code: 'not-json', text: '{"id":' });
    expect(report.problems[0].remedy).not.toBe('');
  });

  it('tells entries that are kept with another content, and replaces nothing', async () => {
    await bring(writeJournal([note(tankOf(1), 0)]));
    const other = { ...note(tankOf(1), 0), body: { text: 'other' } };
    const report = await (await bring(writeJournal([other, note(tankOf(1), 1)]))).json();
    expect(report).toMatchObject({ added: 1, known: 0, problems: [{ code: 'clash' }] });
    expect(await send()).toBe(writeJournal(notes(tankOf(1), 0, 2)));
  });

  it('of a newer version, or not of text, is refused whole', async () => {
    const newer = await (await bring(`{"journal":2}\n${lineOf(note(tankOf(1), 0))}\n`)).json();
    expect(newer).toMatchObject({ added: 0, problems: [{ code: 'newer-version' }] });
    expect((await bring(Uint8Array.of(0x7b, 0xff, 0xfe))).status).toBe(422);
  });
});
