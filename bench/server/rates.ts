/**
 * How fast entries go in and out, next to bare inserts of the same rows. Both sides take turns, several times, so that
 * what else the machine does meanwhile falls on both; the middle turn is told.
 */
import type { Entry, TankId } from '@brinewright/journal';
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
  /** Processor time the server took for an entry pushed in batches, and for one pushed alone, µs. */
  readonly processor: { readonly batches: number; readonly singles: number };
  /** The same of the program that inserts, without the database's own where that is another. */
  readonly bareProcessor: { readonly batches: number; readonly singles: number };
}

/** Some work before it is measured: both sides then run compiled code on warm pages. */
async function warm(batch: number, write: (entries: ReturnType<typeof readingsOf>) => Promise<unknown>) {
  const [many, one] = [benchTank(9000), benchTank(9001)];
  for (let n = 0; n < 40; n++) await write(readingsOf(many, batch, n * batch));
  for (const entry of readingsOf(one, 2000)) await write([entry]);
}

export async function compareRates(bare: Bare, server: ServerUnderTest, sizes: Sizes): Promise<Compared> {
  const { batch, turns } = sizes;
  await warm(batch, (entries) => bare.write(entries));
  await warm(batch, (entries) => server.push((entries[0] as Entry).tank, entries));
  for (let n = 0; n < 40; n++) await server.pull(benchTank(9000), batch);
  const all: Measured[][] = [];
  const served = { batches: newMeter(server.processor), singles: newMeter(server.processor) };
  const plain = { batches: newMeter(ownProcessor), singles: newMeter(ownProcessor) };
  for (let turn = 0; turn < turns; turn++) {
    const { write, push, pull, writeOne, pushOne } = jobsOf(bare, server, sizes, turn);
    const many = `${batch} a transaction`;
    all.push([
      await plain.batches.over(() => measure(`bare insert, ${many}`, spread(write, bare.connections))),
      await served.batches.over(() => measure(`push ${batch} at once`, push)),
      await plain.singles.over(() =>
        measure('bare insert, one a transaction', spread(writeOne, bare.connections)),
      ),
      await served.singles.over(() => measure('push one at once', pushOne)),
      await measure(`pull ${batch} at once`, pull),
    ]);
  }
  const share = (pushed: number, inserted: number): number =>
    median(all.map((turn) => rateOf(turn[pushed] as Measured) / rateOf(turn[inserted] as Measured)));
  return {
    rows: (all[0] ?? []).map((_, n) => middleOf(all.map((turn) => turn[n] as Measured))),
    batches: share(1, 0),
    singles: share(3, 2),
    processor: { batches: served.batches.perEntry(), singles: served.singles.perEntry() },
    bareProcessor: { batches: plain.batches.perEntry(), singles: plain.singles.perEntry() },
  };
}

const ownProcessor = async (): Promise<number> => {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e6;
};

/** Adds up the processor time of several turns. @param taken so far, s */
function newMeter(taken: () => Promise<number>) {
  let processor = 0;
  let entries = 0;
  return {
    async over(work: () => Promise<Measured>): Promise<Measured> {
      const before = await taken();
      const measured = await work();
      processor += (await taken()) - before;
      entries += measured.entries;
      return measured;
    },
    /** µs */
    perEntry: (): number => (1e6 * processor) / entries,
  };
}

/** The jobs of all clients for so many connections, each doing its share one after another. */
const spread = <T>(clients: readonly (readonly T[])[], connections: number): T[][] =>
  Array.from({ length: connections }, (_, n) =>
    clients.filter((_jobs, client) => client % connections === n).flat(),
  );

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
