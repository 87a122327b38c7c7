import { compareRoutes, type PlannedTank, type Prices } from '@brinewright/counsel';
import { type Command, InvalidArgumentError } from 'commander';
import { quantity } from '../answers/rounding.ts';
import { type Io, Refusal } from '../io.ts';
import { nameOf, readTank, type TankOptions, tellDoubts } from '../journal/choose.ts';
import { readWhole } from '../options.ts';
import { faceOf } from '../paper/face.ts';
import { follow } from '../progress.ts';
import { routesPage } from '../sheet/routes-page.ts';
import { withTankOptions } from './common.ts';
import { readPositive } from './orders.ts';

interface RoutesOptions extends TankOptions {
  readonly litres?: number;
  readonly temperature?: number;
  readonly salinity?: number;
  readonly load?: number;
  readonly price?: Prices;
  readonly days: number;
  readonly seed: number;
  readonly json?: boolean;
  readonly plain?: boolean;
}

export function registerRoutes(program: Command, io: Io): void {
  withTankOptions(program.command('routes'))
    .description('the ways to start a tank, side by side: days, tests, cost, and what animals would bear')
    .argument('[journal]', 'journal of the tank, or - for standard input; or give --litres')
    .option('--litres <n>', 'net litres of the tank', readPositive)
    .option('--temperature <c>', 'temperature, °C', readPositive)
    .option('--salinity <s>', 'practical salinity', readPositive)
    .option(
      '--load <mg>',
      'mg of nitrogen a day of the animals meant for it (two small fish: 4)',
      readPositive,
    )
    .option(
      '--price <list>',
      'your prices, such as test=0.5,culture=15,media=40,ammonia=5,day=0.3',
      readPrices,
    )
    .option('--days <n>', 'how far to look ahead', readWhole(30, 365), 150)
    .option('--json', 'answer for a program')
    .option('--plain', 'draw with ASCII alone')
    .action(async (journal: string | undefined, options: RoutesOptions) => {
      const { tank, title } = await plannedTank(io, journal, options);
      const { seed, days, price } = options;
      const routes = await follow(
        io,
        compareRoutes(tank, { seed, days, ...(price === undefined ? {} : { prices: price }) }),
      );
      if (options.json) io.out(`${JSON.stringify(routes, rounded)}\n`);
      else io.out(routesPage(routes, title, faceOf(io, options)));
    });
}

const rounded = (_key: string, value: unknown): unknown =>
  typeof value === 'number' ? quantity(value) : value;

async function plannedTank(
  io: Io,
  journal: string | undefined,
  options: RoutesOptions,
): Promise<{ tank: PlannedTank; title: string }> {
  const given = {
    ...(options.temperature === undefined ? {} : { temperatureC: options.temperature }),
    ...(options.salinity === undefined ? {} : { salinity: options.salinity }),
    ...(options.load === undefined ? {} : { firstLoadMgNPerDay: options.load }),
  };
  if (journal === undefined) {
    if (options.litres === undefined)
      throw new Refusal('Name a journal, or give the size of the tank with --litres.', 2);
    return { tank: { litres: options.litres, ...given }, title: `A tank of ${options.litres} L` };
  }
  const { facts } = await readTank(io, journal, options);
  tellDoubts(io, facts);
  const litres = options.litres ?? facts.litres?.value;
  if (litres === undefined)
    throw new Refusal(`The journal does not say the litres of ${nameOf(facts)}: give them with --litres.`);
  const { temperatureC, salinity, pH, surfaces } = facts;
  const known = {
    ...(facts.litres && options.litres === undefined ? { litresSd: facts.litres.sd } : {}),
    ...(temperatureC === undefined ? {} : { temperatureC }),
    ...(salinity === undefined ? {} : { salinity }),
    ...(pH === undefined ? {} : { pH }),
    surfaces,
  };
  return { tank: { litres, ...known, ...given }, title: `Ways to start ${nameOf(facts)}` };
}

const priced = ['test', 'culture', 'media', 'ammonia', 'day'] as const;

function readPrices(text: string): Prices {
  const prices: Record<string, number> = {};
  for (const part of text.split(',')) {
    const [name = '', amount = ''] = part.split('=').map((each) => each.trim());
    const value = Number(amount);
    if (!priced.some((each) => each === name) || amount === '' || !(value >= 0))
      throw new InvalidArgumentError(`Write prices as name=amount, the names being ${priced.join(', ')}.`);
    prices[name] = value;
  }
  return prices;
}
