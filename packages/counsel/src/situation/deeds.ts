import type { Deed, Size, Source, Start } from '@brinewright/evidence';
import { asNitrogen, type DoseBody, type Stamped, type TankFacts } from '@brinewright/journal';
import { nitrogenMolarMass } from '@brinewright/nitrogen';
import { loadOf } from '../arrivals/bioload.ts';

/** Deeds of a tank as the model takes them, the sources nobody stated a strength for, and what could not be used. */
export interface DeedList {
  readonly deeds: readonly Deed[];
  readonly sources: readonly Source[];
  readonly warnings: readonly string[];
  /** A source of nitrogen stands in the journal. */
  readonly fed: boolean;
}

/** Litres taken where none are stated; only used for amounts whose strength is inferred anyway. */
const guessedLitres = 150;
const mgNPerGramAmmoniumChloride = 261.85;
const meqPerGram = { bicarbonate: 11.904, carbonate: 18.87 } as const;
/** Priors for amounts nobody wrote down: median and spread of the logarithm. */
const guesses = {
  /** mg N per mL of an ammonia solution: from a weak hobby bottle to household strength. */
  solutionMgNPerMl: { median: 25, spread: 1.3 },
  /** mg N/L of a dose of no stated size. */
  doseMgNL: { median: 2, spread: 0.7 },
  /** mg N/L of a portion of food of no stated mass. */
  portionMgNL: { median: 2.5, spread: 0.9 },
} as const;

/** mg N per gram as given: dry foods 75, frozen 17, raw flesh 31 (docs/science/nitrogen.md). */
const foodMgNPerGram = { flake: 75, pellet: 75, frozen: 17, 'fresh-tissue': 31, other: 40 } as const;
const mgNPerGramProtein = 160;
/** Hours before a dose in which a reading tells what the dose was aimed from. */
const aimedFromHours = 36;
const dayMs = 86_400_000;
/** Share of food's nitrogen that fed animals return as ammonia within the day. */
const returned = 0.75;
/** Days of feeding that count as "lately". */
const latelyDays = 14;

export function deedList(facts: TankFacts, start: Start, today: number): DeedList {
  const list = new DeedBook(facts, today);
  for (const dose of facts.doses) list.dose(dose);
  list.foods();
  list.cultures();
  list.exchanges();
  list.animals();
  list.routeWithoutEntries();
  const fed = list.deeds.some((deed) => ['ammonia', 'nitrite', 'organic', 'load'].includes(deed.kind));
  return {
    deeds: list.deeds.sort((a, b) => a.day - b.day),
    sources: [...list.sources.values()],
    warnings: list.warnings,
    fed: fed || (start === 'animals' && facts.arrivals.length === 0),
  };
}

/** Gathers deeds from the facts of one tank. */
class DeedBook {
  readonly deeds: Deed[] = [];
  readonly sources = new Map<string, Source>();
  readonly warnings: string[] = [];
  private readonly facts: TankFacts;
  private readonly today: number;
  private readonly litres: number;

  constructor(facts: TankFacts, today: number) {
    this.facts = facts;
    this.today = today;
    this.litres = facts.litres?.value ?? guessedLitres;
  }

  /** Days since the opening; what was done before it counts from day 0. */
  day(at: number): number {
    return Math.max(0, (at - (this.facts.opened ?? at)) / dayMs);
  }

  /** Names a source of unknown strength, median and spread in mg N/L a unit at this tank's litres. */
  inferred(name: string, guess: { median: number; spread: number }, units = 1): Size {
    if (!this.sources.has(name)) this.sources.set(name, { name, ...guess });
    return { form: 'units', units, source: name };
  }

  dose(dose: Stamped<DoseBody>): void {
    const day = this.day(dose.at);
    switch (dose.substance) {
      case 'ammonium-chloride':
      case 'ammonia-solution': {
        const size = this.ammoniaSize(dose);
        this.deeds.push({ kind: 'ammonia', day, size });
        if (dose.substance === 'ammonia-solution')
          this.deeds.push({ kind: 'alkalinity', day, size: scaled(size, 1 / nitrogenMolarMass) });
        return;
      }
      case 'bicarbonate':
      case 'carbonate': {
        const meqL = this.alkalinityRise(dose, meqPerGram[dose.substance]);
        if (meqL === undefined)
          this.warnings.push(`a ${dose.substance} dose of unknown size is left out: give its grams`);
        else this.deeds.push({ kind: 'alkalinity', day, size: { form: 'known', amount: meqL } });
        return;
      }
      case 'binder':
        this.warnings.push('an ammonia binder was used: ammonia readings of the next three days may mislead');
        return;
      default:
        return;
    }
  }

  ammoniaSize(dose: Stamped<DoseBody>): Size {
    const known = (mgN: number): Size =>
      this.facts.litres
        ? { form: 'known', amount: mgN / this.litres }
        : this.inferred('mg dosed into unknown litres', { median: 1 / guessedLitres, spread: 0.8 }, mgN);
    if (dose.nitrogenMg !== undefined) return known(dose.nitrogenMg);
    if (dose.grams !== undefined) return known(dose.grams * mgNPerGramAmmoniumChloride);
    if (dose.millilitres !== undefined) {
      const strength = dose.strength?.mgNPerMl;
      if (strength !== undefined) return known(dose.millilitres * strength);
      const { median, spread } = guesses.solutionMgNPerMl;
      return this.inferred(
        `mL of ${dose.substance}`,
        { median: median / this.litres, spread },
        dose.millilitres,
      );
    }
    if (dose.aim) return { form: 'known', amount: this.aimedRise(dose, dose.aim) };
    return this.inferred(`dose of ${dose.substance}`, guesses.doseMgNL);
  }

  /** Rise a dose was meant to bring, mg N/L: to a level, from the last reading near enough to have been its base. */
  aimedRise(dose: Stamped<DoseBody>, aim: NonNullable<DoseBody['aim']>): number {
    const basis = aim.as ?? 'N';
    if (aim.by !== undefined) return asNitrogen(aim.by, basis);
    const to = asNitrogen(aim.to ?? 0, basis);
    const base = this.facts.readings
      .filter(
        (reading) =>
          reading.analyte === 'ammonia' &&
          reading.value !== undefined &&
          reading.at <= dose.at &&
          dose.at - reading.at <= aimedFromHours * 3_600_000,
      )
      .map((reading) => asNitrogen((reading.value ?? 0) * (reading.dilution ?? 1), reading.as ?? 'N'))
      // A reading of the level aimed at was taken after the dose.
      .findLast((level) => level < 0.7 * to);
    return Math.max(0, to - (base ?? 0));
  }

  alkalinityRise(dose: Stamped<DoseBody>, perGram: number): number | undefined {
    if (dose.aim?.by !== undefined && dose.aim.analyte === 'alkalinity') return dose.aim.by;
    if (!this.facts.litres) return undefined;
    if (dose.grams !== undefined) return (dose.grams * perGram) / this.litres;
    const strength = dose.strength?.meqPerMl;
    return dose.millilitres === undefined || strength === undefined
      ? undefined
      : (dose.millilitres * strength) / this.litres;
  }

  foods(): void {
    for (const food of this.facts.foods) {
      const day = this.day(food.at);
      const perGram =
        food.protein === undefined
          ? foodMgNPerGram[food.what]
          : mgNPerGramProtein * food.protein * (food.dry ?? (food.what === 'frozen' ? 0.2 : 0.92));
      const size: Size =
        food.grams !== undefined && this.facts.litres
          ? { form: 'known', amount: (food.grams * perGram) / this.litres }
          : this.inferred(`portion of ${food.what} food`, guesses.portionMgNL);
      this.deeds.push({ kind: 'organic', day, size });
    }
  }

  cultures(): void {
    for (const culture of this.facts.cultures) {
      const mature = culture.source === 'mature-media' || culture.source === 'live-rock';
      const source = mature ? 'mature' : culture.source === 'bottled' ? 'bottled' : 'unknown';
      this.deeds.push({ kind: 'culture', day: this.day(culture.at), source });
    }
  }

  exchanges(): void {
    for (const exchange of this.facts.exchanges) {
      const litres =
        exchange.litres !== undefined && this.facts.litres ? exchange.litres / this.litres : undefined;
      const fraction = exchange.fraction ?? litres ?? null;
      this.deeds.push({
        kind: 'exchange',
        day: this.day(exchange.at),
        fraction: fraction === null ? null : Math.min(1, fraction),
        nitrate: asNitrogen(exchange.nitrateMgL ?? 0, exchange.nitrateAs ?? 'NO3'),
        alkalinity: exchange.alkalinityMeqL ?? this.facts.alkalinityMeqL ?? usualAlkalinity(this.facts),
      });
    }
  }

  /** Animals put in a steady load; where their food is logged, that is what they turn over, and go on turning over. */
  animals(): void {
    const comings = [
      ...this.facts.arrivals.map((entry) => ({ at: entry.at, animals: entry.animals, sign: 1 })),
      ...this.facts.losses.map((entry) => ({ at: entry.at, animals: entry.animals, sign: -1 })),
    ].sort((a, b) => a.at - b.at);
    const first = comings[0];
    if (!first) return;
    const meals = this.facts.foods.filter((food) => food.at >= first.at && food.grams !== undefined);
    if (meals.length >= 3 && this.facts.litres) {
      this.deeds.push({ kind: 'load', day: this.today, perDay: this.latelyFed() });
      return;
    }
    let load = 0;
    for (const { at, animals, sign } of comings) {
      load = Math.max(0, load + sign * animals.reduce((sum, group) => sum + loadOf(group), 0));
      this.deeds.push({ kind: 'load', day: this.day(at), perDay: load / this.litres });
    }
  }

  /** mg N/L/d that lately came in as food and comes back as ammonia. */
  latelyFed(): number {
    const since = this.today - latelyDays;
    const lately = this.deeds.filter((deed) => deed.kind === 'organic' && deed.day >= since);
    const sum = lately.reduce(
      (total, deed) => total + (deed.kind === 'organic' && deed.size.form === 'known' ? deed.size.amount : 0),
      0,
    );
    return (returned * sum) / Math.min(latelyDays, Math.max(1, this.today));
  }

  /** What the route says was done where no entry says so. */
  routeWithoutEntries(): void {
    const { route, cultures, foods } = this.facts;
    if (route?.endsWith('+culture') && cultures.length === 0)
      this.deeds.push({ kind: 'culture', day: 0, source: 'bottled' });
    if (route === 'organic' && foods.length === 0)
      this.deeds.push({
        kind: 'organic',
        day: 0,
        size: this.inferred('portion of food', guesses.portionMgNL),
      });
  }
}

const scaled = (size: Size, by: number): Size =>
  size.form === 'known' ? { ...size, amount: size.amount * by } : { ...size, units: size.units * by };

/** meq/L of newly made water where none was measured: sea water, or soft fresh water. */
export const usualAlkalinity = (facts: TankFacts): number => ((facts.salinity ?? 35) >= 5 ? 2.5 : 1.5);
