import { type Exposure, exposureAfter } from '../virtual/animals.ts';
import { carries, exchange, type Trouble, type World } from '../virtual/world.ts';
import { type Phase, Progress } from './phase.ts';

/** How one start ended. */
export interface Outcome {
  /** Day the keeper called the tank ready; the last day where they never did. */
  readonly day: number;
  readonly finished: boolean;
  /** First evening on which the tank carried the challenge in truth; the last day where it never did. */
  readonly able: number;
  /** Tests of one analyte. */
  readonly tests: number;
  /** Those done once the tank was able. */
  readonly testsOnceAble: number;
  /** All of them by where the start stood and by analyte. */
  readonly spent: Spent;
  /** Bottles of culture bought after the start. */
  readonly bottles: number;
  /** mg N/L put in by the keeper in all. */
  readonly ammonia: number;
  /**
   * Called ready though the tank did not carry the planned animals' challenge; where animals were in it all along, though
   * fed as usual they met more than a day of concern in the next three weeks.
   */
  readonly wrong: boolean;
  /** What the animals met: in three weeks after the tank was called ready, or from the first day where they were in it. */
  readonly exposure: Exposure;
  /** Causes named at one time or another that were not planted. */
  readonly misnamed: number;
  /** Day on which each planted trouble was named or its remedy ordered; absent where it never was. */
  readonly found: ReadonlyMap<Trouble, number>;
}

/** Tests of each analyte in each phase of a start. */
type Spent = ReadonlyMap<Phase, ReadonlyMap<string, number>>;

export const lastDay = 100;

/** Troubles that hold a tank up and that somebody could find. */
export const findable = ['dead-culture', 'low-alkalinity', 'cold-room', 'wrong-litres'] as const;
export type Findable = (typeof findable)[number];

/** The challenge a load (mg N a day) asks for, mg N/L. */
const challengeFor = ({ trueLitres }: World, load: number): number =>
  Math.min(2, Math.max(0.5, (3 * load) / trueLitres));

/** Days after the word “ready” in which animals that were there all along are watched, and hours they may be off. */
const daysWatched = 21;
const hoursForgiven = 24;

/** What a keeper keeps an account of on the way. */
export class Account {
  private readonly spent = new Map<Phase, Map<string, number>>();
  private tests = 0;
  private testsOnceAble = 0;
  /** mg of nitrogen. */
  poured = 0;
  bottles = 0;
  readonly found = new Map<Trouble, number>();
  readonly misnamed = new Set<string>();
  private able: number | undefined;
  private readonly world: World;
  private readonly progress: Progress;

  constructor(world: World) {
    this.world = world;
    this.progress = new Progress(world);
  }

  /** Notes whether the tank is able by now. */
  look(): void {
    const { world } = this;
    if (this.able === undefined && carries(world, challengeFor(world, world.plannedLoad)))
      this.able = Math.round(world.day);
  }

  /** One test of one analyte was done because an order, or a rule, asked for it. */
  tested(analyte: string, by: string): void {
    const phase = this.progress.of(by);
    const counts = this.spent.get(phase) ?? new Map<string, number>();
    this.spent.set(phase, counts.set(analyte, (counts.get(analyte) ?? 0) + 1));
    this.tests++;
    if (this.able !== undefined) this.testsOnceAble++;
  }

  noticed(trouble: Findable): void {
    const { troubles, day } = this.world;
    if (troubles.has(trouble) && !this.found.has(trouble)) this.found.set(trouble, Math.round(day));
  }

  /** The tank is called ready for animals of a load; those that come meet what they meet. */
  ready(load: number, lived?: Exposure): Outcome {
    const { world } = this;
    const wrong = lived
      ? exposureAfter(world, world.plannedLoad, daysWatched).hoursOfConcern > hoursForgiven
      : !carries(world, challengeFor(world, world.plannedLoad));
    const day = Math.round(world.day);
    if (lived === undefined) exchange(world, 0.6);
    const exposure = lived ?? exposureAfter(world, load);
    return { ...this.common(), day, finished: true, wrong, exposure };
  }

  /** The last day came first. */
  unfinished(exposure: Exposure): Outcome {
    return { ...this.common(), day: lastDay, finished: false, wrong: false, exposure };
  }

  private common() {
    return {
      able: this.able ?? lastDay,
      tests: this.tests,
      testsOnceAble: this.testsOnceAble,
      spent: this.spent,
      bottles: this.bottles,
      ammonia: this.poured / this.world.believedLitres,
      misnamed: this.misnamed.size,
      found: this.found,
    };
  }
}
