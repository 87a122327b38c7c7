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
  /** Of each turn, push by insert, the middle. */
  readonly shares: readonly { readonly of: string; readonly share: number }[];
  /** Processor time an entry takes the server and the program that inserts (without the database's own), µs. */
  readonly processor: readonly { readonly what: string; readonly server: number; readonly bare: number }[];
}

/** Some work before it is measured: both sides then run compiled code on warm pages. */
async function warm(batch: number, write: (entries: Entries) => Promise<unknown>, tank: number) {
  const [many, one] = [benchTank(tank), benchTank(tank + 1)];
  for (let n = 0; n < 40; n++) await write(readingsOf(many, batch, n * batch));
  for (const entry of readingsOf(one, 2000)) await write([entry]);
}

export async function compareRates(bare: Bare, server: ServerUnderTest, sizes: Sizes): Promise<Compared> {
  const { batch, turns } = sizes;
  await warm(batch, (entries) => server.push((entries[0] as Entry).tank, entries), 9000);
  await warm(batch, bare.plain, 9000);
  await warm(batch, bare.dense, 9002);
  for (let n = 0; n < 40; n++) await server.pull(benchTank(9000), batch);
  const all: Measured[][] = [];
  const served = { batches: newMeter(server.processor), singles: newMeter(server.processor) };
  const inserted = { batches: newMeter(ownProcessor), singles: newMeter(ownProcessor) };
  for (let turn = 0; turn < turns; turn++) {
    const work = jobsOf(bare, server, sizes, turn);
    const bareRow = (what: string, jobs: Jobs) => measure(what, spread(jobs, bare.connections));
    all.push([
      await bareRow(`plain insert of ${batch}`, work.plain),
      await inserted.batches.over(() => bareRow(`dense insert of ${batch}`, work.dense)),
      await served.batches.over(() => measure(`push of ${batch}`, work.push)),
      await inserted.singles.over(() => bareRow('insert of one', work.plainOne)),
      await served.singles.over(() => measure('push of one', work.pushOne)),
      await measure(`pull of ${batch}`, work.pull),
    ]);
  }
  const share = (of: string, pushed: number, row: number) => ({
    of,
    share: median(all.map((turn) => rateOf(turn[pushed] as Measured) / rateOf(turn[row] as Measured))),
  });
  return {
    rows: (all[0] ?? []).map((_, n) => middleOf(all.map((turn) => turn[n] as Measured))),
    shares: [
      share(`a plain insert of ${batch}`, 2, 0),
      share(`a dense insert of ${batch}`, 2, 1),
      share('an insert of one', 4, 3),
    ],
    processor: [
      { what: `of ${batch}`, server: served.batches.perEntry(), bare: inserted.batches.perEntry() },
      { what: 'of one', server: served.singles.perEntry(), bare: inserted.singles.perEntry() },
    ],
  };
}

type Entries = ReturnType<typeof readingsOf>;
type Jobs = readonly (readonly (() => Promise<number>)[])[];

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
const spread = (clients: Jobs, connections: number): Jobs =>
  Array.from({ length: connections }, (_, n) =>
    clients.filter((_jobs, client) => client % connections === n).flat(),
  );

/** What each client does in a turn, on tanks of that turn's own. */
function jobsOf(bare: Bare, server: ServerUnderTest, sizes: Sizes, turn: number) {
  const { tanks, perTank, clients, batch, singles } = sizes;
  const shares = (from: number) =>
    Array.from({ length: clients }, (_, n) =>
      Array.from({ length: tanks / clients }, (_, i) => benchTank(from + (turn * clients + n) * tanks + i)),
    );
  const single = Array.from({ length: clients }, (_, n) =>
    readingsOf(benchTank(5000 + turn * clients + n), singles / clients),
  );
  const each = (job: (tank: TankId, entries: Entries) => Promise<number>, from = 0): Jobs =>
    shares(from).map((own) =>
      own.flatMap((tank) =>
        batchesOf(readingsOf(tank, perTank), batch).map((entries) => () => job(tank, entries)),
      ),
    );
  return {
    plain: each((_, entries) => bare.plain(entries), 2000),
    dense: each((_, entries) => bare.dense(entries)),
    push: each((tank, entries) => server.push(tank, entries)),
    pull: each((tank) => server.pull(tank, batch)),
    plainOne: single.map((entries) => entries.map((one) => () => bare.plain([one]))),
    pushOne: single.map((entries) => entries.map((one) => () => server.push(one.tank, [one]))),
  };
}

/** The turn of middle speed, with the times of all. */
function middleOf(turns: readonly Measured[]): Measured {
  const sorted = [...turns].sort((a, b) => rateOf(a) - rateOf(b));
  const middle = sorted[Math.floor(sorted.length / 2)] as Measured;
  return { ...middle, times: turns.flatMap(({ times }) => times) };
}
