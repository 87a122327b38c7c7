import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Queue, Tasks } from '../src/jobs/queue.ts';
import { tableQueue } from '../src/jobs/table-queue.ts';
import { tasks as usual } from '../src/jobs/tasks.ts';
import { type TestServer, testServer } from './support/server.ts';

let server: TestServer;
let queues: Queue[] = [];
let done: string[];

beforeEach(async () => {
  server = await testServer();
  done = [];
});
afterEach(async () => {
  for (const queue of queues) await queue.stop();
  queues = [];
  await server.close();
});

const pause = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

/** A worker on the server's database, as another process would run it. */
async function worker(refit: (subject: string) => Promise<void>, lease?: number): Promise<Queue> {
  const { services } = server;
  const tasks: Tasks = { ...usual, refit: (_, subject) => refit(subject), freshen: async () => undefined };
  const options = { every: 5, ...(lease === undefined ? {} : { lease }) };
  const queue = tableQueue(services.database, tasks, services.now, options);
  queues.push(queue);
  await queue.start(services);
  return queue;
}
const waiting = () => server.services.database.all('select kind, subject, tries from task order by subject');

describe('slow work', () => {
  it('is done once by two workers', async () => {
    const names = Array.from({ length: 30 }, (_, i) => `tank ${String(i).padStart(2, '0')}`);
    for (const name of names) await server.services.queue.add('refit', name);
    for (let i = 0; i < 2; i++)
      await worker(async (subject) => {
        await pause(1);
        done.push(subject);
      });
    await expect.poll(waiting, { timeout: 5000 }).toEqual([]);
    expect(done.sort()).toEqual(names);
  });

  it('asked for often is done once, and once more where it was asked for while under way', async () => {
    let release = (): void => undefined;
    const held = new Promise<void>((resolve) => {
      release = resolve;
    });
    for (let i = 0; i < 5; i++) await server.services.queue.add('refit', 'one');
    await worker(async (subject) => {
      done.push(subject);
      if (done.length === 1) await held;
    });
    await expect.poll(() => done.length).toBe(1);
    await server.services.queue.add('refit', 'one');
    release();
    await expect.poll(waiting).toEqual([]);
    expect(done).toEqual(['one', 'one']);
  });

  it('that asks for itself again later is left until then', async () => {
    await server.services.queue.add('refit', 'one');
    await worker(async (subject) => {
      done.push(subject);
      await server.services.queue.add('refit', subject, server.time + 60_000);
    });
    await expect.poll(() => done.length).toBe(1);
    await pause(50);
    expect(done).toHaveLength(1);
    server.time += 60_000;
    await expect.poll(() => done.length).toBe(2);
  });

  it('is done as early as the earliest wish', async () => {
    const { queue } = server.services;
    await queue.add('refit', 'one', server.time + 5000);
    await queue.add('refit', 'one', server.time + 60_000);
    await queue.add('refit', 'two', server.time + 60_000);
    await queue.add('refit', 'two');
    await worker(async (subject) => void done.push(subject));
    await expect.poll(() => done).toEqual(['two']);
    server.time += 5000;
    await expect.poll(() => done).toEqual(['two', 'one']);
  });

  it('of a worker that died is taken over when its time is up', async () => {
    await server.services.queue.add('refit', 'one');
    await worker(() => new Promise(() => undefined), 60_000);
    await expect
      .poll(async () => (await server.services.database.all('select held_until from task'))[0]?.held_until)
      .toBe(server.time + 60_000);
    // The first worker never comes back; its queue is not waited for.
    queues = [];
    await worker(async (subject) => void done.push(subject));
    await pause(50);
    expect(done).toEqual([]);
    server.time += 60_000;
    await expect.poll(() => done).toEqual(['one']);
  });

  it('that fails is tried again later, five times in all, and leaves a trace', async () => {
    await server.services.queue.add('refit', 'one');
    await worker(async () => {
      done.push('try');
      throw new Error('Wilhelmina cannot be reckoned');
    });
    for (let i = 0; i < 8; i++) {
      await pause(30);
      server.time += 1000 * 4 ** 5;
    }
    await pause(50);
    expect(done).toHaveLength(5);
    expect(await waiting()).toEqual([{ kind: 'refit', subject: 'one', tries: 5 }]);
    const failures = server.logged.filter((line) => line.includes('task-failed'));
    expect(failures).toHaveLength(5);
    expect(failures.join('')).not.toContain('Wilhelmina');
  });

  it('goes on when the clock is set back by a year', async () => {
    server.time += 365 * 86_400_000;
    await server.services.queue.add('refit', 'due');
    await server.services.queue.add('freshen', 'all', server.time + 1000);
    await server.services.database.run('update task set held_until = $1', server.time + 60_000);
    server.time -= 365 * 86_400_000;
    await worker(async (subject) => void done.push(subject));
    await expect.poll(waiting).toEqual([]);
    expect(done).toEqual(['due']);
  });
});
