import { type Order, ordersOf, type Reckoning, reckon } from '@brinewright/counsel';
import { chance, type Random } from '../calibration/random.ts';
import { Animals, type Exposure, unexposed } from '../virtual/animals.ts';
import { Diary } from '../virtual/diary.ts';
import {
  addAlkalinity,
  addCulture,
  type Carded,
  cards,
  exchange,
  layFood,
  liveTo,
  pour,
  readAlkalinity,
  readCard,
  readPH,
  readTemperature,
  type Trouble,
  type World,
  warm,
} from '../virtual/world.ts';
import { Account, type Findable, lastDay, type Outcome } from './outcome.ts';

/** Evenings without a look after which the keeper asks again anyway. */
const longestPause = 4;
/** Times on one evening a keeper goes back to the kits because of what they showed. */
const mostRounds = 4;
/** Something is due on an evening up to so long before its instant. */
const slackDays = 0.4;

/** What each planted trouble is called in an order, or what ends it. */
const namedBy: Readonly<Record<Findable, (order: Order) => boolean>> = {
  'dead-culture': ({ key }) => key === 'stall:STL-DEAD' || key === 'culture',
  'low-alkalinity': ({ key }) =>
    key === 'stall:STL-ALK' || key.startsWith('buffer') || key === 'feed:wait-alkalinity',
  'cold-room': ({ key }) => key === 'stall:STL-COLD' || key === 'warm',
  'wrong-litres': ({ key }) => key === 'stall:STL-VOL',
};

/** The planted trouble a cause that is named would be. */
const troubleOf: Readonly<Record<string, Trouble>> = {
  'stall:STL-DEAD': 'dead-culture',
  'stall:STL-ALK': 'low-alkalinity',
  'stall:STL-COLD': 'cold-room',
  'stall:STL-VOL': 'wrong-litres',
  'stall:STL-KIT': 'poor-kits',
};

/** Called on every evening the keeper asks, with what they were told. */
export type Watch = (day: number, orders: readonly Order[], reckoning: Reckoning, world: World) => void;

/** A keeper who asks each evening that something is due, and does what the orders say. */
export function byOrders(world: World, random: Random, particles: number, watch: Watch = () => {}): Outcome {
  const keeper = new OrderedKeeper(world, random, particles, watch);
  keeper.begin();
  for (let day = 1; day <= lastDay; day++) {
    keeper.liveTo(day);
    if (world.troubles.has('skipped-days') && chance(random, 0.4)) continue;
    const load = keeper.evening(day);
    if (load !== undefined) return keeper.account.ready(load, keeper.lived);
  }
  return keeper.account.unfinished(keeper.lived ?? unexposed);
}

class OrderedKeeper {
  readonly account: Account;
  private readonly world: World;
  private readonly random: Random;
  private readonly particles: number;
  private readonly watch: Watch;
  private readonly diary: Diary;
  private readonly animals: Animals | undefined;
  private previous: Reckoning | undefined;
  private due = 1;
  private bottledOn: number | undefined;
  /** Share of the usual food the animals get until the next look. */
  private fed = 1;

  constructor(world: World, random: Random, particles: number, watch: Watch) {
    this.world = world;
    this.random = random;
    this.particles = particles;
    this.watch = watch;
    this.account = new Account(world);
    this.diary = new Diary(world);
    this.animals = world.beginning === 'animals' ? new Animals(world, world.plannedLoad) : undefined;
  }

  get lived(): Exposure | undefined {
    return this.animals?.exposure;
  }

  begin(): void {
    const { beginning } = this.world;
    if (beginning === 'media') this.diary.write(0, 'culture', { source: 'mature-media' });
    if (beginning === 'ammonia and culture') this.diary.write(0, 'culture', { source: 'bottled' });
    if (beginning === 'food') this.layFood();
    if (beginning === 'animals') this.writeAnimals();
    for (const order of this.ask(0)) if (this.isDue(order, 0)) this.obey(order, 0);
    // The first dose is looked at an hour later.
    this.liveTo(0.05);
    for (const order of this.ask(0.05)) if (order.key === 'test:first-dose') this.obey(order, 0.05);
  }

  liveTo(day: number): void {
    if (this.animals) this.animals.liveTo(day, this.fed);
    else liveTo(this.world, day);
    if (day % 1 === 0) this.account.look();
  }

  /** What the evening brought; the load of the first animals on the evening they may come. */
  evening(day: number): number | undefined {
    if (day < this.due) return undefined;
    const orders = this.testAndAsk(day);
    this.fed = 1;
    if (this.animals) {
      if (day >= 14 && !orders.some(({ key }) => key.startsWith('welfare'))) return this.world.plannedLoad;
    } else {
      const stock = orders.find((order) => order.do === 'stock');
      if (stock?.do === 'stock') return Math.min(this.world.plannedLoad, stock.what.firstLoadMgNPerDay);
    }
    for (const order of orders) if (order.do !== 'test' && this.isDue(order, day)) this.obey(order, day);
    this.due = this.nextLook(orders, day);
    return undefined;
  }

  /** Does the tests that are due, and those that come due by what they showed; then what is ordered. */
  private testAndAsk(day: number): Order[] {
    for (let round = 0; ; round++) {
      const orders = this.ask(day);
      const due = orders.filter((order) => order.do === 'test' && this.isDue(order, day));
      const fresh = due.filter((order) => order.do === 'test' && order.what.tests.length > 0);
      if (fresh.length === 0 || round === mostRounds) return orders;
      for (const order of due) this.obey(order, day);
    }
  }

  /** The next evening on which something falls due: the day after anything was done, at most a few days on. */
  private nextLook(orders: readonly Order[], day: number): number {
    const acted = orders.some(
      (order) =>
        this.isDue(order, day) &&
        order.do !== 'wait' &&
        !(order.do === 'test' && order.what.tests.length === 0),
    );
    if (acted) return day + 1;
    const later = orders
      .map((order) => Diary.dayOf(order.do === 'wait' ? order.lookAgain : order.when))
      .filter((when) => when > day + slackDays);
    const soonest = Math.floor(Math.min(...later, Infinity) + slackDays);
    return Math.min(day + longestPause, Math.max(day + 1, soonest));
  }

  private isDue = ({ when, urgency }: Order, day: number): boolean =>
    urgency !== 'whenever' && Diary.dayOf(when) <= day + slackDays;

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
      const orders = ordersOf(step.value, { firstLoadMgNPerDay: this.world.plannedLoad });
      for (const [trouble, names] of Object.entries(namedBy))
        if (orders.some(names)) this.account.noticed(trouble as Findable);
      for (const { key } of orders) if (key.startsWith('stall:')) this.named(key);
      this.watch(day, orders, step.value, this.world);
      return orders;
    }
  }

  private named(cause: string): void {
    const trouble = troubleOf[cause];
    if (trouble === undefined || !this.world.troubles.has(trouble)) this.account.misnamed.add(cause);
  }

  private obey(order: Order, day: number): void {
    const { world, diary } = this;
    switch (order.do) {
      case 'test':
        for (const { analyte, dilution } of order.what.tests) this.read(day, order.key, analyte, dilution);
        if (order.key === 'stall:STL-DEAD') this.inoculate(day, 14);
        return;
      case 'prove':
        for (const { analyte } of order.what.testFirst) this.read(day, order.key, analyte, 1);
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
        this.exchange(day, order.what.share, order.what.times);
        return;
      case 'emergency':
        this.exchange(day, order.what.exchange.share, order.what.exchange.times);
        this.fed = order.what.stopFeeding ? 0.25 : 0.5;
        return;
      case 'wait':
        if (order.key === 'culture') this.inoculate(day, 14);
        if (order.key !== 'welfare:unready') return;
        this.fed = Math.min(this.fed, 0.5);
        this.inoculate(day, Infinity);
        return;
      case 'posture':
        if (order.key === 'warm') this.warm(day);
        return;
      default:
    }
  }

  private layFood(): void {
    const nitrogenMg = 2 * this.world.believedLitres;
    layFood(this.world, nitrogenMg);
    this.account.poured += nitrogenMg;
    // Flake holds 75 mg of nitrogen in a gram; a fifth of it never comes free.
    this.diary.write(0, 'food', { what: 'flake', grams: nitrogenMg / 75 / 0.8 });
  }

  /** Small fish enough to bring the planned load, 2 mg of nitrogen a day each. */
  private writeAnimals(): void {
    const count = Math.max(1, Math.round(this.world.plannedLoad / 2));
    const animals = [{ class: 'small_planktivore_clownfish', count, lengthCm: 5 }];
    this.diary.write(0, 'arrival', { animals });
  }

  private inoculate(day: number, againAfterDays: number): void {
    if (this.bottledOn !== undefined && day - this.bottledOn < againAfterDays) return;
    addCulture(this.world);
    this.account.bottles++;
    this.diary.write(day, 'culture', { source: 'bottled' });
    this.bottledOn = day;
  }

  private warm(day: number): void {
    warm(this.world, 25.2);
    this.diary.write(day, 'reading', { analyte: 'temperature', value: readTemperature(this.world) });
  }

  private exchange(day: number, share: number, times: number): void {
    for (let time = 0; time < times; time++) {
      if (share === 0) return;
      exchange(this.world, share);
      this.diary.write(day + 0.02 * (time + 1), 'exchange', { fraction: share });
    }
  }

  private pour(day: number, nitrogenMg: number): void {
    pour(this.world, nitrogenMg);
    this.account.poured += nitrogenMg;
    this.diary.write(day, 'dose', { substance: 'ammonium-chloride', nitrogenMg });
  }

  private read(day: number, by: string, analyte: string, dilution: number): void {
    const shown = this.look(analyte, dilution);
    if (!shown) return;
    if (analyte !== 'temperature') this.account.tested(analyte, by);
    this.diary.write(day, 'reading', { analyte, ...shown });
  }

  /** What a test shows, as it is written down; undefined where this keeper has no kit for it. */
  private look(analyte: string, dilution: number): object | undefined {
    const { world, random } = this;
    if (analyte === 'temperature') return { value: readTemperature(world) };
    if (analyte === 'pH') return { value: readPH(world, random) };
    if (analyte === 'alkalinity') return { kit: 'alkalinity-drops', value: readAlkalinity(world, random) };
    if (!(analyte in cards)) return undefined;
    const value = readCard(world, random, analyte as Carded, dilution);
    const { as } = cards[analyte as Carded];
    return { as, kit: `${analyte}-drops`, value, ...(dilution > 1 ? { dilution } : {}) };
  }
}
