import { type Order, ordersOf, type Reckoning, reckon } from '@brinewright/counsel';
import { chance, type Random } from '../calibration/random.ts';
import { Diary } from '../virtual/diary.ts';
import {
  addAlkalinity,
  addCulture,
  type Carded,
  cards,
  exchange,
  liveTo,
  pour,
  readAlkalinity,
  readCard,
  type World,
  warm,
} from '../virtual/world.ts';
import { ending } from './ending.ts';
import { lastDay, type Outcome } from './outcome.ts';

/** Evenings without a look after which the keeper asks again anyway. */
const longestPause = 4;

/** A keeper who asks each evening that something is due, and does what the orders say. */
export function byOrders(world: World, random: Random, particles: number): Outcome {
  const keeper = new OrderedKeeper(world, random, particles);
  keeper.begin();
  for (let day = 1; day <= lastDay; day++) {
    liveTo(world, day);
    if (world.troubles.has('skipped-days') && chance(random, 0.4)) continue;
    const load = keeper.evening(day);
    if (load !== undefined) return ending(world, { ...keeper.books(), load, challenge: world.plannedLoad });
  }
  return ending(world, { ...keeper.books(), load: 0, challenge: world.plannedLoad, unfinished: true });
}

class OrderedKeeper {
  private readonly world: World;
  private readonly random: Random;
  private readonly particles: number;
  private readonly diary: Diary;
  private previous: Reckoning | undefined;
  private tests = 0;
  private poured = 0;
  private due = 1;
  private bottledOn: number | undefined;

  constructor(world: World, random: Random, particles: number) {
    this.world = world;
    this.random = random;
    this.particles = particles;
    this.diary = new Diary(world);
  }

  books = (): { tests: number; poured: number } => ({ tests: this.tests, poured: this.poured });

  begin(): void {
    const source = this.world.route === 'mature-media' ? 'mature-media' : 'bottled';
    if (this.world.route !== 'salt') this.diary.write(0, 'culture', { source });
    for (const order of this.ask(0)) this.obey(order, 0);
    this.previous = undefined;
  }

  /** What the evening brought; the load of the first animals on the evening they may come. */
  evening(day: number): number | undefined {
    if (day < this.due) return undefined;
    const first = this.ask(day);
    const tested = first.filter((order) => order.do === 'test' && this.isDue(order, day));
    for (const order of tested) this.obey(order, day);
    const orders = tested.length > 0 ? this.ask(day) : first;
    const stock = orders.find((order) => order.do === 'stock');
    if (stock?.do === 'stock') return Math.min(this.world.plannedLoad, stock.what.firstLoadMgNPerDay);
    for (const order of orders) if (order.do !== 'test' && this.isDue(order, day)) this.obey(order, day);
    this.due = this.nextLook(orders, day);
    return undefined;
  }

  /** The next evening on which something falls due: the day after a challenge or any dose, at most a few days on. */
  private nextLook(orders: readonly Order[], day: number): number {
    if (orders.some((order) => order.do === 'prove' && this.isDue(order, day))) return day + 1;
    const later = orders.map(({ when }) => Diary.dayOf(when)).filter((when) => when > day + 0.4);
    const soonest = Math.floor(Math.min(...later, Infinity) + 0.4);
    return Math.min(day + longestPause, Math.max(day + 1, soonest));
  }

  private isDue = ({ when, urgency }: Order, day: number): boolean =>
    urgency !== 'whenever' && Diary.dayOf(when) <= day + 0.4;

  private ask(day: number): Order[] {
    const steps = reckon(this.diary.facts(), {
      asOf: Diary.asOf(day),
      seed: 5,
      particles: this.particles,
      days: 60,
      ...(this.previous ? { previous: this.previous } : {}),
    });
    for (;;) {
      const step = steps.next();
      if (!step.done) continue;
      this.previous = step.value;
      return ordersOf(step.value, { firstLoadMgNPerDay: this.world.plannedLoad });
    }
  }

  private obey(order: Order, day: number): void {
    const { world, diary } = this;
    switch (order.do) {
      case 'test':
        for (const { analyte, dilution } of order.what.tests) this.read(day, analyte, dilution);
        if (order.key === 'stall:STL-DEAD' && (this.bottledOn ?? -99) < day - 14) {
          addCulture(world);
          diary.write(day, 'culture', { source: 'bottled' });
          this.bottledOn = day;
        }
        if (order.key === 'stall:STL-COLD') {
          warm(world, 25.2);
          diary.write(day, 'reading', { analyte: 'temperature', value: 25 });
        }
        return;
      case 'prove':
        if (order.what.run === 1) for (const analyte of ['ammonia', 'nitrite']) this.read(day, analyte, 1);
        this.pour(day + 0.01, order.what.nitrogenMg ?? 0);
        return;
      case 'dose':
        this.pour(day, order.what.nitrogenMg ?? 0);
        return;
      case 'buffer':
        addAlkalinity(world, order.what.raisesMeqL);
        diary.write(day, 'dose', { substance: 'bicarbonate', grams: order.what.grams ?? 0 });
        return;
      case 'exchange':
        exchange(world, order.what.share);
        diary.write(day, 'exchange', { fraction: order.what.share });
        return;
      default:
    }
  }

  private pour(day: number, nitrogenMg: number): void {
    pour(this.world, nitrogenMg);
    this.poured += nitrogenMg;
    this.diary.write(day, 'dose', { substance: 'ammonium-chloride', nitrogenMg });
  }

  private read(day: number, analyte: string, dilution: number): void {
    if (analyte === 'alkalinity') {
      this.tests++;
      const value = readAlkalinity(this.world, this.random);
      this.diary.write(day, 'reading', { analyte, kit: 'alkalinity-drops', value });
    }
    if (!(analyte in cards)) return;
    this.tests++;
    const value = readCard(this.world, this.random, analyte as Carded, dilution);
    const { as } = cards[analyte as Carded];
    const diluted = dilution > 1 ? { dilution } : {};
    this.diary.write(day, 'reading', { analyte, as, kit: `${analyte}-drops`, value, ...diluted });
  }
}
