/**
 * How fast entries go in and out, next to bare inserts of the same rows. Both sides take turns, several times, so that
 * what else the machine does meanwhile falls on both; the middle turn is told.
 */
import { setTimeout as pause } from 'node:timers/promises';
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
  /** So many each client hands over one at a time. */
  readonly singles: number;
  /** Clients of one entry at a time, as there are many in life; they are measured beside the few. */
  readonly crowd: number;
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

/**
 * Waits until the server has done what pushes set off: rounds are reckoned anew seconds after a tank got entries, which would
 * fall on whatever is measured then.
 */
async function atRest({ processor }: ServerUnderTest): Promise<void> {
  let before = await processor();
  for (let calm = 0; calm < 6; ) {
    await pause(1000);
    const now = await processor();
    calm = now - before < 0.05 ? calm + 1 : 0;
    before = now;
  }
}

export async function compareRates(bare: Bare, server: ServerUnderTest, sizes: Sizes): Promise<Compared> {
  const { batch, turns, clients, crowd } = sizes;
  await warm(batch, (entries) => server.push((entries[0] as Entry).tank, entries), 9000);
  await warm(batch, bare.plain, 9000);
  await warm(batch, bare.dense, 9002);
  for (let n = 0; n < 40; n++) await server.pull(benchTank(9000), batch);
  const all: Measured[][] = [];
  const served = meters(server.processor);
  const inserted = meters(ownProcessor);
  for (let turn = 0; turn < turns; turn++) {
    const work = jobsOf(bare, server, sizes, turn);
    const bareRow = (what: string, jobs: Jobs) => measure(what, spread(jobs, bare.connections(jobs.length)));
    await atRest(server);
    const batches = [
      await bareRow(`plain insert of ${batch}`, work.plain),
      await inserted.batches.over(() => bareRow(`dense insert of ${batch}`, work.dense)),
      await served.batches.over(() => measure(`push of ${batch}`, work.push)),
    ];
    await atRest(server);
    all.push([
      ...batches,
      await inserted.few.over(() => bareRow(`insert of one, ${clients} clients`, work.few.plain)),
      await served.few.over(() => measure(`push of one, ${clients} clients`, work.few.push)),
      await inserted.crowd.over(() => bareRow(`insert of one, ${crowd} clients`, work.crowd.plain)),
      await served.crowd.over(() => measure(`push of one, ${crowd} clients`, work.crowd.push)),
      await measure(`pull of ${batch}`, work.pull),
    ]);
  }
  const share = (of: string, pushed: number, row: number) => ({
    of,
    share: median(all.map((turn) => rateOf(turn[pushed] as Measured) / rateOf(turn[row] as Measured))),
  });
  const took = (what: string, of: keyof typeof served) => ({
    what,
    server: served[of].perEntry(),
    bare: inserted[of].perEntry(),
  });
  return {
    rows: (all[0] ?? []).map((_, n) => middleOf(all.map((turn) => turn[n] as Measured))),
    shares: [
      share(`a plain insert of ${batch}`, 2, 0),
      share(`a dense insert of ${batch}`, 2, 1),
      share(`an insert of one, ${clients} clients`, 4, 3),
      share(`an insert of one, ${crowd} clients`, 6, 5),
    ],
    processor: [
      took(`of ${batch}`, 'batches'),
      took(`of one, ${clients} clients`, 'few'),
      took(`of one, ${crowd} clients`, 'crowd'),
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

const meters = (taken: () => Promise<number>) => ({
  batches: newMeter(taken),
  few: newMeter(taken),
  crowd: newMeter(taken),
});

/** The jobs of all clients for so many connections, each doing its share one after another. */
const spread = (clients: Jobs, connections: number): Jobs =>
  Array.from({ length: connections }, (_, n) =>
    clients.filter((_jobs, client) => client % connections === n).flat(),
  );

/** What each client does in a turn, on tanks of that turn's own. */
function jobsOf(bare: Bare, server: ServerUnderTest, sizes: Sizes, turn: number) {
  const { tanks, perTank, clients, crowd, batch, singles } = sizes;
  const shares = (from: number) =>
    Array.from({ length: clients }, (_, n) =>
      Array.from({ length: tanks / clients }, (_, i) => benchTank(from + (turn * clients + n) * tanks + i)),
    );
  const single = (among: number, from: number) => {
    const shared = Array.from({ length: among }, (_, n) =>
      readingsOf(benchTank(from + turn * among + n), singles),
    );
    const each = (job: (one: Entry) => Promise<number>): Jobs =>
      shared.map((entries) => entries.map((one) => () => job(one)));
    return { plain: each((one) => bare.plain([one])), push: each((one) => server.push(one.tank, [one])) };
  };
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
    few: single(clients, 5000),
    crowd: single(crowd, 6000),
  };
}

/** The turn of middle speed, with the times of all. */
function middleOf(turns: readonly Measured[]): Measured {
  const sorted = [...turns].sort((a, b) => rateOf(a) - rateOf(b));
  const middle = sorted[Math.floor(sorted.length / 2)] as Measured;
  return { ...middle, times: turns.flatMap(({ times }) => times) };
}
