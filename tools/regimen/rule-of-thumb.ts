import { chance, type Random } from '../calibration/random.ts';
import { addCulture, type Carded, exchange, liveTo, pour, readCard, type World } from '../virtual/world.ts';
import { ending } from './ending.ts';
import { lastDay, type Outcome } from './outcome.ts';

/** When such a keeper calls a tank ready: a full dose gone in a day, or both at zero for once after nitrite was seen. */
export type Rule = 'gone-in-a-day' | 'both-zero';

/**
 * A keeper by the usual rules: 2 mg/L at the start, ammonia and nitrite every second day and nitrate weekly, 2 mg/L
 * again whenever ammonia reads nothing, a second bottle after three weeks of nothing, half the water after two weeks of
 * nitrite at the end of the card or of ammonia that no longer goes.
 */
export function byRuleOfThumb(world: World, random: Random, rule: Rule): Outcome {
  const keeper = new ThumbKeeper(world, random, rule);
  keeper.dose();
  for (let day = 1; day <= lastDay; day++) {
    liveTo(world, day);
    if (world.troubles.has('skipped-days') && chance(random, 0.4)) continue;
    if (keeper.evening(day))
      return ending(world, { ...keeper.books(), load: world.plannedLoad, challenge: world.plannedLoad });
  }
  return ending(world, { ...keeper.books(), load: 0, challenge: world.plannedLoad, unfinished: true });
}

const doseMgNL = 2;

class ThumbKeeper {
  private readonly world: World;
  private readonly random: Random;
  private readonly rule: Rule;
  private tests = 0;
  private poured = 0;
  private dosedOn = 0;
  private doses = 0;
  private highSince: number | undefined;
  private seen = false;
  private bottled = false;

  constructor(world: World, random: Random, rule: Rule) {
    this.world = world;
    this.random = random;
    this.rule = rule;
  }

  books = (): { tests: number; poured: number } => ({ tests: this.tests, poured: this.poured });

  dose(): void {
    const nitrogenMg = doseMgNL * this.world.believedLitres;
    pour(this.world, nitrogenMg);
    this.poured += nitrogenMg;
    this.dosedOn = this.world.day;
    this.doses++;
  }

  /** True on the evening the tank is called ready. */
  evening(day: number): boolean {
    const afterDose = this.doses > 1 && day - this.dosedOn < 1.5;
    if (!afterDose && day % 2 === 1) return false;
    const ammonia = this.read('ammonia');
    const nitrite = this.read('nitrite');
    if (day % 7 === 0) this.read('nitrate');
    this.seen ||= nitrite > 0;
    if (ammonia === 0 && nitrite === 0 && (afterDose || (this.rule === 'both-zero' && this.seen)))
      return true;
    this.rescue(day, ammonia, nitrite);
    if (ammonia === 0) this.dose();
    return false;
  }

  /** What is customarily done when nothing moves. */
  private rescue(day: number, ammonia: number, nitrite: number): void {
    this.highSince = nitrite >= 5 ? (this.highSince ?? day) : undefined;
    if (day > 21 && !this.bottled && this.doses === 1 && ammonia >= 2) {
      addCulture(this.world);
      this.bottled = true;
    }
    const stuck = this.highSince !== undefined && day - this.highSince >= 14;
    const still = this.doses > 1 && ammonia > 0 && day - this.dosedOn >= 14;
    if (!stuck && !still) return;
    exchange(this.world, 0.5);
    this.highSince = undefined;
    this.dosedOn = day;
  }

  private read(analyte: Carded): number {
    this.tests++;
    return readCard(this.world, this.random, analyte);
  }
}
