import { chance, type Random } from '../calibration/random.ts';
import { Animals, type Exposure, unexposed } from '../virtual/animals.ts';
import {
  addCulture,
  type Carded,
  exchange,
  layFood,
  liveTo,
  pour,
  readCard,
  readTemperature,
  type World,
  warm,
} from '../virtual/world.ts';
import { Account, lastDay, type Outcome } from './outcome.ts';

/**
 * When a keeper by rules of thumb calls a tank ready:
 * - `gone-in-a-day`: a full dose gone, and nitrite with it, on the day after (the careful rule);
 * - `both-zero`: ammonia and nitrite read nothing once, after nitrite was seen (takes a risk);
 * - `zero-for-a-week`: both read nothing on two looks a week apart, no dose between (takes a risk);
 * - `six-weeks`: 42 days are over and ammonia reads nothing (takes a risk).
 */
export const rules = ['gone-in-a-day', 'both-zero', 'zero-for-a-week', 'six-weeks'] as const;
export type Rule = (typeof rules)[number];

/**
 * A keeper by the usual rules: 2 mg/L at the start (or food that frees as much), ammonia and nitrite every second day
 * and nitrate weekly, 2 mg/L again whenever ammonia reads nothing, a second bottle after three weeks of nothing and a
 * look at the thermometer with it, half the water after two weeks of nitrite at the end of the card or of ammonia that
 * no longer goes. With animals in the tank: nothing is dosed, a quarter of the water weekly, half of it whenever ammonia
 * reads 1 mg/L or more.
 */
export function byRuleOfThumb(world: World, random: Random, rule: Rule): Outcome {
  const keeper = new ThumbKeeper(world, random, rule);
  keeper.begin();
  for (let day = 1; day <= lastDay; day++) {
    keeper.liveTo(day);
    if (world.troubles.has('skipped-days') && chance(random, 0.4)) continue;
    if (keeper.evening(day)) return keeper.account.ready(world.plannedLoad, keeper.lived);
  }
  return keeper.account.unfinished(keeper.lived ?? unexposed);
}

const doseMgNL = 2;
const weeksOfSixWeeks = 42;

class ThumbKeeper {
  readonly account: Account;
  private readonly world: World;
  private readonly random: Random;
  private readonly rule: Rule;
  private readonly animals: Animals | undefined;
  private dosedOn = 0;
  private doses = 0;
  private highSince: number | undefined;
  private zeroSince: number | undefined;
  private seen = false;
  private bottled = false;
  private changedOn = 0;

  constructor(world: World, random: Random, rule: Rule) {
    this.world = world;
    this.random = random;
    this.rule = rule;
    this.account = new Account(world);
    this.animals = world.beginning === 'animals' ? new Animals(world, world.plannedLoad) : undefined;
  }

  get lived(): Exposure | undefined {
    return this.animals?.exposure;
  }

  begin(): void {
    if (!this.animals) this.feed();
  }

  liveTo(day: number): void {
    if (this.animals) this.animals.liveTo(day);
    else liveTo(this.world, day);
    this.account.look();
  }

  private feed(): void {
    const { world, account } = this;
    const nitrogenMg = doseMgNL * world.believedLitres;
    if (world.beginning === 'food' && this.doses === 0) layFood(world, nitrogenMg);
    else pour(world, nitrogenMg);
    account.poured += nitrogenMg;
    this.dosedOn = world.day;
    this.doses++;
  }

  /** True on the evening the tank is called ready. */
  evening(day: number): boolean {
    const afterDose = this.doses > 1 && day - this.dosedOn < 1.5;
    const looks =
      this.rule === 'six-weeks'
        ? day % 7 === 0
        : day % 2 === 0 || (this.rule === 'gone-in-a-day' && afterDose);
    if (!looks) return false;
    const ammonia = this.read('ammonia');
    const nitrite = this.read('nitrite');
    if (day % 7 === 0 && this.rule !== 'six-weeks') this.read('nitrate');
    this.seen ||= nitrite > 0;
    const zero = ammonia === 0 && nitrite === 0;
    this.zeroSince = zero ? (this.zeroSince ?? day) : undefined;
    if (this.judged(day, ammonia, zero, afterDose)) return true;
    if (this.animals) this.change(day, ammonia);
    else {
      this.rescue(day, ammonia, nitrite);
      const waits = this.rule === 'zero-for-a-week' && zero && this.seen;
      if (ammonia === 0 && !waits) this.feed();
    }
    return false;
  }

  private judged(day: number, ammonia: number, zero: boolean, afterDose: boolean): boolean {
    switch (this.rule) {
      // Nobody doses a tank with animals in it: there clear water for a week is as careful as it gets.
      case 'gone-in-a-day':
        return this.animals ? this.seen && day - (this.zeroSince ?? day) >= 7 : zero && afterDose;
      case 'both-zero':
        return zero && this.seen;
      case 'zero-for-a-week':
        return this.seen && day - (this.zeroSince ?? day) >= 7;
      case 'six-weeks':
        return day >= weeksOfSixWeeks && ammonia === 0;
    }
  }

  /** What is customarily done with animals in water that is not ready. */
  private change(day: number, ammonia: number): void {
    const share = ammonia >= 1 ? 0.5 : day - this.changedOn >= 7 ? 0.25 : 0;
    if (share === 0) return;
    exchange(this.world, share);
    this.changedOn = day;
  }

  /** What is customarily done when nothing moves. */
  private rescue(day: number, ammonia: number, nitrite: number): void {
    this.highSince = nitrite >= 5 ? (this.highSince ?? day) : undefined;
    if (day > 21 && !this.bottled && this.doses === 1 && ammonia >= 2) {
      addCulture(this.world);
      this.account.bottles++;
      this.account.noticed('dead-culture');
      this.bottled = true;
      this.feelWater();
    }
    const stuck = this.highSince !== undefined && day - this.highSince >= 14;
    const still = this.doses > 1 && ammonia > 0 && day - this.dosedOn >= 14;
    if (!stuck && !still) return;
    // Half of the water brings half of the alkalinity, though nobody knew that it was wanting.
    exchange(this.world, 0.5);
    this.account.noticed('low-alkalinity');
    this.feelWater();
    this.highSince = undefined;
    this.dosedOn = day;
  }

  private feelWater(): void {
    if (readTemperature(this.world) >= 22) return;
    warm(this.world, 25.2);
    this.account.noticed('cold-room');
  }

  private read(analyte: Carded): number {
    this.account.tested(analyte, this.rule);
    return readCard(this.world, this.random, analyte);
  }
}
