import { learnKits, reckon, sheetOf, usualHorizonDays } from '@brinewright/counsel';
import { type Entry, foldTank, newEntryId, type TankId } from '@brinewright/journal';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { keptAnswer } from '../src/answers/kept.ts';
import { loreOf } from '../src/answers/lore.ts';
import type { Question } from '../src/answers/reckoner.ts';
import { tasks } from '../src/jobs/tasks.ts';
import { memberOf } from './support/people.ts';
import { SHARED, type TestServer, testServer } from './support/server.ts';
import { note, startedTank, tankOf } from './support/tanks.ts';

const DAY = 86_400_000;
const START = Date.parse('2026-03-01T08:00:00Z');

let server: TestServer;
let asked: Question[];
beforeEach(async () => {
  server = await testServer({ mode: SHARED });
  asked = [];
  const { ask } = server.services.reckoner;
  Object.assign(server.services, {
    reckoner: {
      ...server.services.reckoner,
      ask: (question: Question) => {
        asked.push(question);
        return ask(question);
      },
    },
  });
});
afterEach(() => server.close());

/** A tank read seven times with one kit, which shows half as much again as is there. */
function readTank(tank: TankId): Entry[] {
  const random = new Uint8Array(10).fill(Number.parseInt(tank.slice(11, 13), 16) + 1);
  const entry = (days: number, kind: string, body: Record<string, unknown>): Entry => {
    const at = START + days * DAY;
    return { id: newEntryId(at, random), tank, at: new Date(at).toISOString(), kind, body };
  };
  const readings = [0.5, 1, 1.5, 2, 2.5, 3, 3.5].map((days) =>
    entry(days, 'reading', { analyte: 'ammonia', as: 'N', value: 3, kit: 'salicylate drops' }),
  );
  const kit = entry(0, 'kit', { kit: 'salicylate drops', analyte: 'ammonia', as: 'N', resolution: 0.5 });
  return [...startedTank(tank, `Bench ${tank.slice(11, 13)}`).slice(0, 2), kit, ...readings];
}

const refit = (tank: TankId): Promise<void> => tasks.refit(server.services, tank);
const told = () => asked.at(-1)?.others?.map(({ tank }) => tank);

function ended<T>(steps: Generator<unknown, T>): T {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

describe('the kits of a tank', () => {
  it('are learnt from its keeper’s other tanks, once a day, and go into its answer', async () => {
    const [own, other, foreign] = [tankOf(1), tankOf(2), tankOf(3)] as const;
    const { account } = await memberOf(server, own, 'keeper', 'Ines');
    await memberOf(server, foreign, 'keeper', 'Tomas');
    const { database, store } = server.services;
    for (const [tank, role] of [
      [other, 'keeper'],
      [foreign, 'reader'],
    ] as const)
      await database.run(
        'insert into crew (tank, account, role, since) values ($1, $2, $3, 0)',
        tank,
        account,
        role,
      );
    for (const tank of [own, other, foreign]) await store.append(readTank(tank));
    // Not known yet with which kits they were read: the first answers tell.
    for (const tank of [own, other, foreign]) await refit(tank);
    expect(asked.map(({ others }) => others)).toEqual([undefined, undefined, undefined]);

    const more = note(own, 100);
    await store.append([more]);
    await refit(own);
    expect(told()).toEqual([other]);
    const facts = foldTank([...readTank(own), more], own);
    const last = START + 3.5 * DAY;
    const lore = ended(learnKits(facts, [foldTank(readTank(other), other)], { asOf: last, seed: 1 }));
    expect(lore.size).toBeGreaterThan(0);
    expect([...(await loreOf(server.services, own)).learnt]).toEqual([...lore]);
    const options = { asOf: server.time, days: usualHorizonDays, seed: 1 };
    const reply = (await keptAnswer(server.services, own))?.reply;
    const sheet = reply?.ok === true ? JSON.parse(reply.sheet) : undefined;
    expect(sheet).toEqual(JSON.parse(JSON.stringify(sheetOf(ended(reckon(facts, { ...options, lore }))))));

    await store.append([note(own, 101)]);
    await refit(own);
    expect(told()).toBeUndefined();
    expect(asked.at(-1)?.lore).toEqual(lore);
    server.time += DAY;
    await refit(own);
    expect(told()).toEqual([other]);
  }, 60_000);
});
