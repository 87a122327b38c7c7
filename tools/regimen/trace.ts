import type { Order, Reckoning } from '@brinewright/counsel';
import type { World } from '../virtual/world.ts';
import { said } from './summary.ts';
import { trialOf } from './trial.ts';

/** Prints what one keeper was told evening by evening, beside the water as it truly was. */
export function trace(seed: number, particles: number): void {
  const trial = trialOf(seed, particles, (day, orders, reckoning, world) =>
    console.log(line(day, orders, reckoning, world)),
  );
  console.log(said(trial));
}

function line(
  day: number,
  orders: readonly Order[],
  { trajectories, situation }: Reckoning,
  { tank }: World,
): string {
  const { readyDays, particles } = trajectories;
  const ready = readyDays.filter((one) => one <= situation.problem.today).length / particles;
  const middle = readyDays.slice().sort()[particles >> 1]!;
  const truth = (['ammonia', 'nitrite', 'nitrate', 'alkalinity'] as const)
    .map((name) => `${name.slice(0, 4)} ${tank[name].toFixed(2)}`)
    .join(' ');
  const told = orders
    .filter(({ urgency }) => urgency !== 'whenever')
    .map(
      (order) =>
        `     ${order.urgency} ${order.key} ${order.when.slice(5, 16)} ${String(order.sure)} ${what(order)}`,
    );
  return [`day ${day}: ${truth}; ready ${ready.toFixed(2)}, middle ${middle.toFixed(0)}`, ...told].join('\n');
}

const what = (order: Order): string =>
  order.do === 'test'
    ? order.what.tests.map(({ analyte, dilution }) => `${analyte}/${dilution}`).join(' ')
    : order.do === 'prove' || order.do === 'dose'
      ? `${String(order.what.nitrogenMgPerLitre)} mg N/L`
      : '';
