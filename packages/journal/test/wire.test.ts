import {
  answerWire,
  entryOfLine,
  isWireVerb,
  lineOf,
  storePeer,
  WireError,
  wirePeer,
} from '@brinewright/journal';
import { memoryStore } from '@brinewright/store/memory';
import { describe, expect, it } from 'vitest';
import { ammonia, entry, id, TANK } from './support/build.ts';

const peerOf = (store = memoryStore()) => storePeer(store);

describe('synchronisation over a line', () => {
  it('carries entries byte for byte', async () => {
    const [here, there] = [memoryStore(), memoryStore()];
    const line = `{ "kind":"note","body":{"text":"caf\\u00e9","n":1.0},"id":"${id(1)}","tank":"${TANK}","at":"2026-03-01T08:00:00Z" }`;
    await here.append([entryOfLine(line)]);
    const over = wirePeer((verb, body) => answerWire(peerOf(there), verb, body));
    const [head] = (await here.heads()).values();
    expect(head?.last).toBe(id(1));
    expect(await over.push(TANK, (await here.read({ tank: TANK })).entries)).toMatchObject({
      clashes: [],
      refused: [],
    });
    const page = await over.pull(TANK, undefined);
    expect(page?.entries.map(lineOf)).toEqual([line]);
  });

  it('refuses pushed lines it cannot read, by id and with the reason, and keeps the rest', async () => {
    const store = memoryStore();
    const bad = { ...ammonia(1, { n: 1 }), body: { analyte: 'ammonia', as: 'N', value: -1 } };
    const lines = [JSON.stringify(bad), JSON.stringify(ammonia(2, { n: 2 }))];
    expect(await answerWire(peerOf(store), 'push', { tank: TANK, lines })).toEqual({
      clashes: [],
      refused: [id(1)],
      problems: ['line 1, body.value: -1 is not possible for ammonia. A level cannot be negative.'],
    });
    expect(await store.count()).toBe(1);
  });

  it('lets what a later version wrote through to the device', async () => {
    const store = memoryStore();
    const later = { ...entry('dose', { substance: 'other' }, { n: 1 }), body: { substance: 'urea' } };
    await store.append([entryOfLine(JSON.stringify(later))]);
    const over = wirePeer((verb, body) => answerWire(peerOf(store), verb, body));
    expect((await over.pull(TANK, undefined))?.entries).toEqual([later]);
  });

  it.each([
    ['heads', { wire: 2 }],
    ['heads', {}],
    ['pull', { tank: 'seven' }],
    ['pull', { tank: TANK, after: { cursor: -1, last: id(1) } }],
    ['lacking', { tank: TANK, ids: Array(1001).fill(id(1)) }],
    ['push', { tank: TANK, lines: [1] }],
    ['push', { tank: TANK, lines: ['{'] }],
    ['push', undefined],
  ] as const)('refuses a body of %s that is not what was agreed (%#)', async (verb, body) => {
    await expect(answerWire(peerOf(), verb, body)).rejects.toThrow(WireError);
  });

  it('refuses an answer that is not what was agreed', async () => {
    await expect(wirePeer(async () => ({ heads: [] })).heads()).rejects.toThrow(
      /^the answer to heads is not what/,
    );
    const empty = wirePeer(async () => ({ lines: ['{}'], cursor: 1, more: false }));
    await expect(empty.pull(TANK, undefined)).rejects.toThrow(/^a pulled entry is not what was agreed/);
  });

  it('knows its verbs', () => {
    expect(['heads', 'pull', 'lacking', 'push', 'toString', ''].map(isWireVerb)).toEqual([
      true,
      true,
      true,
      true,
      false,
      false,
    ]);
  });
});
