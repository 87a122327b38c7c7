import { type Ask, type Instrument, suppose } from '@brinewright/evidence';
import { type Bearings, lastEvent, usualHour } from '../orders/bearings.ts';
import { chanceOf, rowOf } from '../orders/particles.ts';
import { kitOf } from '../orders/test-of.ts';
import { challengeSize, leftOfChallenge } from '../readiness/load.ts';
import { instrumentOf, type NitrogenAnalyte } from '../situation/readings.ts';
import { dayMs } from '../situation/situation.ts';
import { type Grouping, groupByValue, information, together } from './information.ts';

/** A test that could be done: with which kit, how diluted, when, and what it would tell about the ready date. */
export interface Candidate {
  readonly analyte: NitrogenAnalyte;
  /** Null where the journal describes no kit for it. */
  readonly kit: string | null;
  readonly dilution: number;
  /** RFC 3339. */
  readonly at: string;
  readonly day: number;
  /** nats. */
  readonly tells: number;
  readonly outcomes: Float64Array;
  /** Probability that it shows the end of its card. */
  readonly over: number;
}

/** Days ahead at which a test is weighed. */
const daysAhead = [0, 1, 2, 3, 4, 5, 7, 10] as const;
const dilutions = [1, 5, 10] as const;
const groupCount = 8;
const surelyReady = 0.9;
/** Whether a dose was gone after a day is the challenge's business; otherwise it is given a day and a half. */
const workDays = 1.5;
/** A day that was missed longer ago than this is not looked back at. */
const longestBack = 11 * dayMs;
const analytes = ['ammonia', 'nitrite', 'nitrate'] as const;
/** mg N/L below which the bacteria are fed again. */
const feedBelow = { ammonia: 0.25, nitrite: 1 } as const;
/** Where no kit is described: a card a beginner is likely to hold. */
const unknownOffsets = { ammonia: 0.1, nitrite: 0.04, nitrate: 0.56 } as const;

export interface Survey {
  readonly candidates: readonly Candidate[];
  readonly grouping: Grouping;
  readonly particles: number;
  /** What the tests are to tell, in words. */
  readonly about: string;
  /** Days were left out in which no reading would change what is done. */
  readonly postponed: boolean;
}

/** Weighs every kit, dilution and day: exact outcome chances in each particle, told apart by its ready date. */
export function survey(bearings: Bearings): Survey {
  const { reckoning, situation } = bearings;
  // Water that is ready already is waited for no more: what is left to learn is whether it carries its challenge.
  const proving = bearings.ready >= surelyReady;
  const grouping = groupByValue(
    proving
      ? leftOfChallenge(reckoning.posterior, bearings.today, challengeSize(bearings).mgNPerLitre)
      : reckoning.trajectories.readyDays,
    groupCount,
  );
  const tools = analytes.flatMap(
    (analyte): { kit: string | null; analyte: NitrogenAnalyte; instrument: Instrument }[] => {
      const kit = kitOf(bearings, analyte);
      const instrument = kit && instrumentOf(kit);
      return [
        instrument
          ? { kit: kit.kit, analyte, instrument }
          : { kit: null, analyte, instrument: { form: 'eye', analyte, offset: unknownOffsets[analyte] } },
      ];
    },
  );
  // Counted from the last thing that happened: asked again tomorrow with nothing new, the day chosen stays the same.
  const workedOn = Math.max(
    lastEvent(bearings) + dayMs / 2,
    worked(bearings, proving ? 1 : workDays),
    bearings.asOf - longestBack,
  );
  const useful = mayChange(bearings);
  const from = Math.max(workedOn, useful);
  const plans = daysAhead.flatMap((ahead) => {
    const at = usualHour(bearings, ahead, from);
    const day = (Date.parse(at) - situation.opened) / dayMs;
    return tools.flatMap((tool) =>
      dilutions
        .filter((dilution) => dilution === 1 || mayBeOver(bearings, tool.instrument))
        .map((dilution) => ({ ...tool, dilution, at, day })),
    );
  });
  const asks = plans.map(({ instrument, dilution, day }): Ask => {
    const which = situation.problem.instruments.findIndex(
      (one) => JSON.stringify(one) === JSON.stringify(instrument),
    );
    return { day, instrument, dilution, which: which < 0 ? null : which };
  });
  const { outcomes, particles } = suppose(reckoning.posterior, { days: [], asks });
  const candidates = plans.map(({ analyte, kit, dilution, at, day }, index): Candidate => {
    const own = outcomes[index]!;
    const top = own.subarray(own.length - particles);
    return {
      analyte,
      kit,
      dilution,
      at,
      day,
      tells: information(own, grouping),
      outcomes: own,
      over: top.reduce((sum, chance) => sum + chance, 0) / particles,
    };
  });
  const about = proving ? 'whether it carries the planned animals' : 'the ready date';
  return { candidates, grouping, particles, about, postponed: useful > workedOn + dayMs };
}

/** Epoch milliseconds from which a dose after the first has been worked on long enough to be looked at. */
function worked({ facts, asOf }: Bearings, days: number): number {
  const doses = facts.doses.filter(
    ({ substance, at }) =>
      at <= asOf && (substance === 'ammonium-chloride' || substance === 'ammonia-solution'),
  );
  return doses.length > 1 ? doses.at(-1)!.at + days * dayMs - dayMs / 12 : 0;
}

/** Chance of what is awaited from which it is looked for, and days after which somebody looks in any case. */
const mayHaveCome = 0.4;
export const longestUnseenDays = 10;

/**
 * Epoch milliseconds from which a test could change what is done: until what is awaited (water that may be fed again, or
 * clear water) may have come, a reading only tells what will have to be waited for.
 */
function mayChange({ reckoning, today, situation, facts, asOf }: Bearings): number {
  const { ammonia, nitrite, days, particles } = reckoning.trajectories;
  const share = (row: number, mostNitrite: number): number =>
    chanceOf(
      rowOf(ammonia, row, particles),
      (value, i) => value < feedBelow.ammonia && nitrite[row * particles + i]! < mostNitrite,
    );
  const ahead = [...days.keys()].filter((row) => days[row]! >= today);
  const mostNitrite = share(ahead[0]!, feedBelow.nitrite) < 0.5 ? feedBelow.nitrite : feedBelow.ammonia;
  const row = ahead.find((one) => share(one, mostNitrite) >= mayHaveCome);
  const last = facts.readings.findLast(({ at }) => at <= asOf)?.at ?? situation.opened;
  const come = row === undefined ? Infinity : situation.opened + days[row]! * dayMs;
  return Math.min(come, last + longestUnseenDays * dayMs) - dayMs / 2;
}

/** Dilution comes into question only where the level may lie past the end of the card. */
const mayBeOver = ({ levels }: Bearings, instrument: Instrument): boolean =>
  instrument.form === 'card' && levels[instrument.analyte].p95 > (instrument.steps.at(-1) ?? Infinity);

/** What two tests of one day would tell together. */
export const jointTells = ({ grouping, particles }: Survey, a: Candidate, b: Candidate): number =>
  information(together(a.outcomes, b.outcomes, particles), grouping);
