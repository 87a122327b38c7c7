/** How fast entries go in and out, next to bare inserts of the same rows. */
import type { TankId } from '@brinewright/journal';
import type { Bare } from './bare.ts';
import { batchesOf, benchTank, readingsOf } from './entries.ts';
import { type Measured, measure, rateOf } from './measure.ts';
import type { ServerUnderTest } from './program.ts';

export interface Sizes {
  readonly tanks: number;
  readonly perTank: number;
  readonly clients: number;
  readonly batch: number;
  readonly singles: number;
}

const FIRST_SINGLE = 1000;
const WARM = 9000;

/** The nth client's part of the tanks. */
const sharesOf = ({ tanks, clients }: Sizes): TankId[][] =>
  Array.from({ length: clients }, (_, n) =>
    Array.from({ length: tanks }, (_, i) => benchTank(i)).filter((_, i) => i % clients === n),
  );

const singleTanks = ({ clients }: Sizes): TankId[] =>
  Array.from({ length: clients }, (_, n) => benchTank(FIRST_SINGLE + n));

/** Some work before it is measured: both sides then run compiled code on warm pages. */
async function warm(write: (tank: TankId, n: number) => Promise<unknown>): Promise<void> {
  for (let n = 0; n < 40; n++) await write(benchTank(WARM), n);
}

export async function bareRates(bare: Bare, sizes: Sizes): Promise<Measured[]> {
  const { perTank, batch, singles, clients } = sizes;
  await warm((tank, n) => bare.write(readingsOf(tank, batch, n * batch)));
  const all = sharesOf(sizes)
    .flat()
    .flatMap((tank) => batchesOf(readingsOf(tank, perTank), batch));
  const few = singleTanks(sizes).flatMap((tank) => readingsOf(tank, singles / clients));
  return [
    await measure(`bare insert, ${batch} a transaction`, [all.map((one) => () => bare.write(one))]),
    await measure('bare insert, one a transaction', [few.map((one) => () => bare.write([one]))]),
  ];
}

export async function serverRates(server: ServerUnderTest, sizes: Sizes): Promise<Measured[]> {
  const { perTank, batch, singles, clients } = sizes;
  await warm(async (tank, n) => {
    await server.push(tank, readingsOf(tank, batch, n * batch));
    await server.pull(tank, batch);
  });
  const shares = sharesOf(sizes);
  const pages = Math.ceil(perTank / batch);
  const push = shares.map((tanks) =>
    tanks.flatMap((tank) =>
      batchesOf(readingsOf(tank, perTank), batch).map((one) => () => server.push(tank, one)),
    ),
  );
  const single = singleTanks(sizes).map((tank) =>
    readingsOf(tank, singles / clients).map((one) => () => server.push(tank, [one])),
  );
  const pull = shares.map((tanks) =>
    tanks.flatMap((tank) => Array.from({ length: pages }, () => () => server.pull(tank, batch))),
  );
  return [
    await measure(`push ${batch} at once`, push),
    await measure('push one at once', single),
    await measure(`pull ${batch} at once`, pull),
  ];
}

/** "push is 0.61 of a bare insert". */
export function comparison(bare: readonly Measured[], served: readonly Measured[]): string {
  const share = (n: number): string =>
    (rateOf(served[n] as Measured) / rateOf(bare[n] as Measured)).toFixed(2);
  return `push is ${share(0)} of a bare insert in batches, ${share(1)} one at a time`;
}
