/**
 * How fast entries go in and out, next to bare inserts of the same rows. Both sides take turns, several times, so that
 * what else the machine does meanwhile falls on both; the middle turn is told.
 */
import type { TankId } from '@brinewright/journal';
import type { Bare } from './bare.ts';
import { batchesOf, benchTank, readingsOf } from './entries.ts';
import { type Measured, measure, median, rateOf } from './measure.ts';
import type { ServerUnderTest } from './program.ts';

export interface Sizes {
  readonly turns: number;
  /** Of each turn. */
  readonly tanks: number;
  readonly perTank: number;
  readonly clients: number;
  readonly batch: number;
  readonly singles: number;
}

export interface Compared {
  readonly rows: readonly Measured[];
  /** Of each turn, push by bare insert: in batches, and one at a time. */
  readonly batches: number;
  readonly singles: number;
  /** Processor time the server took for an entry pushed in batches, µs. */
  readonly processor: number;
}

/** Some work before it is measured: both sides then run compiled code on warm pages. */
async function warm(write: (tank: TankId, n: number) => Promise<unknown>): Promise<void> {
  for (let n = 0; n < 40; n++) await write(benchTank(9000), n);
}

export async function compareRates(bare: Bare, server: ServerUnderTest, sizes: Sizes): Promise<Compared> {
  const { batch, turns } = sizes;
  await warm((tank, n) => bare.write(readingsOf(tank, batch, n * batch)));
  await warm(async (tank, n) => {
    await server.push(tank, readingsOf(tank, batch, n * batch));
    await server.pull(tank, batch);
  });
  const all: Measured[][] = [];
  let processor = 0;
  let pushed = 0;
  for (let turn = 0; turn < turns; turn++) {
    const { write, push, pull, writeOne, pushOne } = jobsOf(bare, server, sizes, turn);
    const batches = [await measure(`bare insert, ${batch} a transaction`, [write.flat()])];
    const before = await server.processor();
    batches.push(await measure(`push ${batch} at once`, push));
    processor += (await server.processor()) - before;
    pushed += batches[1]?.entries ?? 0;
    all.push([
      ...batches,
      await measure('bare insert, one a transaction', [writeOne.flat()]),
      await measure('push one at once', pushOne),
      await measure(`pull ${batch} at once`, pull),
    ]);
  }
  const share = (served: number, plain: number): number =>
    median(all.map((turn) => rateOf(turn[served] as Measured) / rateOf(turn[plain] as Measured)));
  return {
    rows: (all[0] ?? []).map((_, n) => middleOf(all.map((turn) => turn[n] as Measured))),
    batches: share(1, 0),
    singles: share(3, 2),
    processor: (1e6 * processor) / pushed,
  };
}

/** What each client does in a turn, on tanks of that turn's own. */
function jobsOf(bare: Bare, server: ServerUnderTest, sizes: Sizes, turn: number) {
  const { tanks, perTank, clients, batch, singles } = sizes;
  const shares = Array.from({ length: clients }, (_, n) =>
    Array.from({ length: tanks / clients }, (_, i) => benchTank((turn * clients + n) * tanks + i)),
  );
  const single = Array.from({ length: clients }, (_, n) =>
    readingsOf(benchTank(5000 + turn * clients + n), singles / clients),
  );
  const each = <T>(job: (tank: TankId, entries: ReturnType<typeof readingsOf>) => T): T[][] =>
    shares.map((own) =>
      own.flatMap((tank) => batchesOf(readingsOf(tank, perTank), batch).map((one) => job(tank, one))),
    );
  return {
    write: each((_, entries) => () => bare.write(entries)),
    push: each((tank, entries) => () => server.push(tank, entries)),
    pull: each((tank) => () => server.pull(tank, batch)),
    writeOne: single.map((entries) => entries.map((one) => () => bare.write([one]))),
    pushOne: single.map((entries) => entries.map((one) => () => server.push(one.tank, [one]))),
  };
}

/** The turn of middle speed, with the times of all. */
function middleOf(turns: readonly Measured[]): Measured {
  const sorted = [...turns].sort((a, b) => rateOf(a) - rateOf(b));
  const middle = sorted[Math.floor(sorted.length / 2)] as Measured;
  return { ...middle, times: turns.flatMap(({ times }) => times) };
}
