import { describe, expect, it } from 'vitest';
import {
  ended,
  fit,
  type Hand,
  openHand,
  type Posterior,
  type Progress,
  reach,
  shareOut,
  update,
  waitedFor,
} from '../src/index.ts';
import { seen, tank } from './tank.ts';

const settings = { seed: 3, particles: 128 };
const before = tank(12, [seen(4, 'ammonia', 4), seen(8, 'ammonia', 3), seen(12, 'nitrite', 3)]);
const after = tank(15, [...before.observations, seen(15, 'ammonia', 0)]);

/** A hand as another thread would be: what goes to it and comes back is copied, and it answers later. */
function handNearby(fails = false): { hand: Hand; asked: () => number } {
  const work = openHand();
  let asked = 0;
  const { hand, answered, gone } = reach((errand) => {
    asked++;
    const told = structuredClone(errand);
    setTimeout(() => {
      if (fails) gone(new Error('the thread is gone'));
      else answered(structuredClone(work(told)));
    });
  });
  return { hand, asked: () => asked };
}

function expectSame(one: Posterior, other: Posterior): void {
  const { model: _, ...plain } = one;
  const { model: __, ...otherPlain } = other;
  expect(plain).toEqual(otherPlain);
}

describe('a fit by several hands', () => {
  const alone = ended(fit(before, settings));
  const updatedAlone = ended(update(alone, after));

  it.each([1, 2, 3, 5])('comes to the same bytes with %i of them', async (count) => {
    const nearby = Array.from({ length: count }, () => handNearby());
    const hands = nearby.map(({ hand }) => hand);
    const fitted = await waitedFor(fit(before, settings, hands));
    expectSame(fitted, alone);
    expectSame(await waitedFor(update(fitted, after, hands)), updatedAlone);
    // The first of four folds is always moved here.
    for (const { asked } of nearby.slice(0, 3)) expect(asked()).toBeGreaterThan(3);
  });

  it('does here what a hand fails at, and goes on without it', async () => {
    const failing = handNearby(true);
    const steady = handNearby();
    expectSame(await waitedFor(fit(before, settings, [failing.hand, steady.hand])), alone);
    // It had been given one fold when the first came back undone.
    expect(failing.asked()).toBeLessThanOrEqual(2);
    expect(steady.asked()).toBeGreaterThan(3);
    expect([failing.hand.idle, steady.hand.idle]).toEqual([false, true]);
  });

  it('comes to the same where what a hand has is done here as well, work done in vain not counted', async () => {
    const { hand, asked } = handNearby();
    const steps = fit(before, settings, [hand]);
    // Every other time it goes on without waiting, and lets answers in while it does so.
    let [hurries, hurried] = [0, false];
    for (let step = steps.next(); ; step = steps.next()) {
      if (step.done) {
        expectSame(step.value, alone);
        break;
      }
      const { until } = step.value;
      if (until) hurried = !hurried;
      if (until && hurried) hurries++;
      else if (until) await until;
      else if (hurried) await new Promise((resolve) => setTimeout(resolve));
    }
    expect(asked()).toBeGreaterThan(3);
    expect(hurries).toBeGreaterThan(0);
  });

  it('leaves a hand alone that is busy with something else', async () => {
    const { hand, asked } = handNearby();
    const other = hand.ask(after, { do: 'weigh', settings });
    const steps = fit(before, settings, [hand]);
    expect(steps.next().done).toBe(false);
    expectSame(ended(steps), alone);
    expect(asked()).toBe(1);
    expect(await other).toBeLessThan(0);
  });

  it('asks a hand for a whole fit, or what its readings say of it alone', async () => {
    const { hand } = handNearby();
    const { model: _, ...plain } = alone;
    expect(await hand.ask(before, { do: 'fit', settings })).toEqual(plain);
    expect(await hand.ask(before, { do: 'weigh', settings })).toBe(alone.logEvidence);
  });
});

describe('jobs shared out', () => {
  const progress = (done: number): Progress => ({ fraction: done / 20, said: 'counting' });
  const jobs = Array.from({ length: 20 }, (_, i) => i);
  const take = (_: number, found: number) => found;
  function* here(job: number) {
    yield;
    return job * job;
  }

  it('come back in their order, each done once, and no more are given out once nobody asks', async () => {
    const { hand } = handNearby();
    const done: number[] = [];
    const there = async (_: Hand, job: number) => {
      await new Promise((resolve) => setTimeout(resolve, job % 3));
      done.push(job);
      return job * job;
    };
    expect(await waitedFor(shareOut(jobs, [hand], { here, there, take }, progress))).toEqual(
      jobs.map((job) => job * job),
    );
    expect(new Set(done).size).toBe(done.length);
    expect(done).not.toContain(0);
    done.length = 0;
    const abandoned = shareOut(jobs, [hand], { here, there, take }, progress);
    abandoned.next();
    abandoned.next();
    await new Promise((resolve) => setTimeout(resolve, 20));
    expect(done.length).toBe(2);
  });

  it('are done here as well where a hand is slow and whoever drives this does not wait', async () => {
    const { hand } = handNearby();
    const slow: (() => void)[] = [];
    const there = (_: Hand, job: number) =>
      new Promise<number>((resolve) => slow.push(() => resolve(job * job)));
    const taken: number[] = [];
    const noted = (job: number, found: number) => {
      taken.push(job);
      return found;
    };
    const found = ended(shareOut(jobs, [hand], { here, there, take: noted }, progress));
    expect(found).toEqual(jobs.map((job) => job * job));
    // What comes when all is done is not taken in.
    for (const answer of slow) answer();
    await new Promise((resolve) => setTimeout(resolve));
    expect(slow).toHaveLength(2);
    expect(taken).toEqual([]);
  });
});
