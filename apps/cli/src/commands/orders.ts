import { explain, isSuspected, ordersOf } from '@brinewright/counsel';
import { type Command, InvalidArgumentError } from 'commander';
import type { Io } from '../io.ts';
import { nameOf, readTank, type TankOptions, tellDoubts } from '../journal/choose.ts';
import { reckoned } from '../journal/reckoned.ts';
import { faceOf } from '../paper/face.ts';
import { follow } from '../progress.ts';
import { ordersPage } from '../sheet/orders-page.ts';
import { withTankOptions } from './common.ts';

interface OrdersOptions extends TankOptions {
  readonly load?: number;
  readonly seed: number;
  readonly json?: boolean;
  readonly plain?: boolean;
}

export function registerOrders(program: Command, io: Io): void {
  withTankOptions(program.command('orders'))
    .description('what to do with a tank, most urgent first, and why')
    .argument('<journal>', 'journal file, or - for standard input')
    .option(
      '--load <mg>',
      'mg of nitrogen a day the first animals will bring (two small fish: 4)',
      readPositive,
    )
    .option('--json', 'answer for a program')
    .option('--plain', 'write with ASCII alone')
    .action(async (journal: string, options: OrdersOptions) => {
      const tank = await readTank(io, journal, options);
      const { facts, asOf } = tank;
      const reckoning = await reckoned(io, tank, { seed: options.seed });
      tellDoubts(io, facts, [...reckoning.situation.warnings, ...reckoning.posterior.diagnostics.warnings]);
      if (isSuspected(reckoning)) await follow(io, explain(reckoning, io.hands));
      const orders = ordersOf(reckoning, {
        timeZone: io.timeZone,
        ...(options.load === undefined ? {} : { firstLoadMgNPerDay: options.load }),
      });
      if (options.json) io.out(`${JSON.stringify(orders)}\n`);
      else io.out(ordersPage(orders, nameOf(facts), asOf, faceOf(io, options)));
    });
}

/** A number above 0. */
export function readPositive(text: string): number {
  const value = Number(text);
  if (text.trim() !== '' && Number.isFinite(value) && value > 0) return value;
  throw new InvalidArgumentError('It must be a number above 0.');
}
