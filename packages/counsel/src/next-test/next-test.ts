import {
  type Bearings,
  dayWords,
  hoursFrom,
  hoursSince,
  lastReading,
  usualHour,
} from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { Order, Reason, TestToDo } from '../orders/order.ts';
import { chanceWords, levelBandWords, listWords } from '../orders/words.ts';
import type { Proof } from '../readiness/proof.ts';
import { dayMs } from '../situation/situation.ts';
import { type Candidate, jointTells, type Survey, survey } from './candidates.ts';
import { repeatOrder } from './repeat.ts';

/** nats under which a test is not worth its reagent. */
const worthwhile = 0.04;
/** A test is done on the first day that tells this share of the most any day would. */
const shareOfMost = 0.7;
/** A second test has to add this share to what the first tells. */
const shareOfFirst = 0.2;
/** Days after which somebody should look, however little it tells. */
const longestGapDays = 5;
/** Days after which ammonia, or nitrite, is read along with whatever tells more. */
const staleDays = 7;
/** Days of silence after which both ammonia and nitrite are read before anything else. */
const silenceDays = 8;
/** An undiluted reading that likely shows the end of its card is taken diluted. */
const likelyOver = 0.5;

/** Days after an arrival on which ammonia and nitrite are read (TST-07). */
const afterArrivalDays = [1, 2, 3, 5, 7, 14] as const;

/** The next test of the water, when, and which tests can be left out. */
export function nextTestOrders(bearings: Bearings, proof: Proof): Order[] {
  const again = repeatOrder(bearings);
  if (again) return bearings.animals.present ? [again, withAnimals(bearings)] : [again];
  if (bearings.animals.present) return [withAnimals(bearings)];
  if (proof.state === 'running') return [];
  const check = doseCheck(bearings);
  if (check) return [check];
  if (bearings.situation.neverFed || proof.state === 'proven') return [];
  const test =
    silentDays(bearings) > silenceDays ? afterSilence(bearings) : mostTelling(bearings, survey(bearings));
  return [test, ...baseline(bearings)];
}

/** Alkalinity is read once early: the bacteria use it up, and no other test shows how much there was. */
function baseline(bearings: Bearings): Order[] {
  const { facts } = bearings;
  if (facts.readings.some(({ analyte }) => analyte === 'alkalinity')) return [];
  const kit = [...facts.kits.values()].find(({ analyte }) => analyte === 'alkalinity')?.kit ?? null;
  return [
    order(bearings, {
      key: 'test:alkalinity',
      do: 'test',
      what: { tests: [{ analyte: 'alkalinity', kit, dilution: 1 }] },
      say: 'Read alkalinity once in these days, and write it down.',
      because: [
        {
          fact: 'turning over 2 mg/L of ammonia nitrogen uses 0.29 meq/L; a tank that begins low stops half-way and no other test shows it',
          source: 'SRAC 4502 (DeLong & Losordo 2012)',
        },
        kit === null ? { fact: 'the journal describes no kit for it; any will do' } : undefined,
      ],
      urgency: 'soon',
      holdsWhile: 'alkalinity has never been read',
      cautions: ['CAU-C5'],
    }),
  ];
}

const silentDays = ({ facts, asOf, situation }: Bearings): number =>
  (asOf - (facts.readings.findLast(({ at }) => at <= asOf)?.at ?? situation.opened)) / dayMs;

/** After long silence the whole picture is read anew. */
function afterSilence(bearings: Bearings): Order {
  const kit = (analyte: string): string | null =>
    [...bearings.facts.kits.values()].find((one) => one.analyte === analyte)?.kit ?? null;
  return order(bearings, {
    key: 'test',
    do: 'test',
    what: { tests: ['ammonia', 'nitrite'].map((analyte) => ({ analyte, kit: kit(analyte), dilution: 1 })) },
    say: 'Test ammonia and nitrite today before anything else: nobody has looked for long.',
    because: [
      {
        fact: `the last test was ${Math.floor(silentDays(bearings))} days ago; ammonia is reckoned at ${levelBandWords(bearings, 'ammonia', bearings.levels.ammonia)} and nitrite at ${levelBandWords(bearings, 'nitrite', bearings.levels.nitrite)}, and both may be wrong`,
      },
    ],
    urgency: 'today',
    holdsWhile: 'nothing has been read for more than a week',
    cautions: ['CAU-C5'],
  });
}

/** The test expected to tell most about the ready date, on the first day that is nearly as good as any. */
export function mostTelling(bearings: Bearings, found: Survey): Order {
  const { candidates } = found;
  const latest = gapDay(bearings);
  const within = candidates.filter(({ day }) => day <= latest + 0.01);
  const open = within.length > 0 ? within : candidates.filter(({ day }) => day === candidates[0]!.day);
  const most = Math.max(...open.map(worth));
  const undiluted = (candidate: Candidate): boolean =>
    candidate.dilution === 1 || isOver(candidate, candidates);
  const usable = open.filter(undiluted);
  const best =
    most < worthwhile
      ? firstSign(usable.filter(({ day }) => day === Math.max(...open.map((one) => one.day))))
      : bestOf(
          usable.filter(
            ({ day }) =>
              day ===
              Math.min(...usable.filter((one) => worth(one) >= shareOfMost * most).map((one) => one.day)),
          ),
        );
  const others = usable.filter(({ day, analyte }) => day === best.day && analyte !== best.analyte);
  const second = bestOrNone(others, (candidate) => jointTells(found, best, candidate) - best.tells);
  const gain = second ? jointTells(found, best, second) - best.tells : 0;
  const telling =
    second && gain >= Math.max(worthwhile / 2, shareOfFirst * best.tells) ? [best, second] : [best];
  const tests = [...telling, ...overdue(bearings, best, telling, usable)];
  return testOrder(bearings, tests, most, skipped(bearings, tests, usable));
}

/** Ammonia and nitrite are never left unread for long, whatever they would tell: feeding and proving rest on both. */
function overdue(
  bearings: Bearings,
  { day, at }: Candidate,
  chosen: readonly Candidate[],
  usable: readonly Candidate[],
): Candidate[] {
  const stale = (['ammonia', 'nitrite'] as const).filter((analyte) => {
    const last = lastReading(bearings, analyte)?.at ?? bearings.situation.opened;
    return !chosen.some((one) => one.analyte === analyte) && Date.parse(at) - last > staleDays * dayMs;
  });
  return stale.flatMap((analyte) => usable.find((one) => one.analyte === analyte && one.day === day) ?? []);
}

/** A diluted test comes into question only where the undiluted one would likely show the end of its card. */
const isOver = ({ analyte, day }: Candidate, all: readonly Candidate[]): boolean =>
  (all.find((one) => one.analyte === analyte && one.day === day && one.dilution === 1)?.over ?? 0) >
  likelyOver;

/** A nitrate test takes longest, and nitrite colours it: it has to tell more than the others to be chosen. */
const worth = ({ analyte, tells }: Candidate): number => (analyte === 'nitrate' ? 0.6 : 1) * tells;

function bestOf(candidates: readonly Candidate[]): Candidate {
  return candidates.reduce((best, one) => (worth(one) > worth(best) + 1e-9 ? one : best));
}

/** Where nothing tells much, nitrite: its first colour is the first sign of life. */
const firstSign = (candidates: readonly Candidate[]): Candidate =>
  candidates.find(({ analyte }) => analyte === 'nitrite') ?? candidates[0]!;

function bestOrNone(
  candidates: readonly Candidate[],
  gain: (candidate: Candidate) => number,
): Candidate | undefined {
  let best: { candidate: Candidate; gain: number } | undefined;
  for (const candidate of candidates) {
    const here = gain(candidate);
    if (!best || here > best.gain + 1e-9) best = { candidate, gain: here };
  }
  return best?.candidate;
}

/** Day by which somebody should look at the water again. */
function gapDay(bearings: Bearings): number {
  const last =
    bearings.facts.readings.findLast(({ at }) => at <= bearings.asOf)?.at ?? bearings.situation.opened;
  const due = (last - bearings.situation.opened) / dayMs + longestGapDays;
  return due;
}

function testOrder(
  bearings: Bearings,
  tests: readonly Candidate[],
  most: number,
  skip: readonly Reason[],
): Order {
  const planned = tests[0]!.at;
  const at = Date.parse(planned) < bearings.asOf ? hoursFrom(bearings, 0) : planned;
  const today = Date.parse(at) - bearings.asOf < 0.75 * dayMs;
  const named = tests.map(
    ({ analyte, dilution }) => `${analyte}${dilution > 1 ? ` diluted 1 in ${dilution}` : ''}`,
  );
  const diluted = tests.find(({ dilution }) => dilution > 1);
  return order(bearings, {
    key: 'test',
    do: 'test',
    when: at,
    what: { tests: tests.map(({ analyte, kit, dilution }): TestToDo => ({ analyte, kit, dilution })) },
    say: `Next test: ${listWords(named)}, ${today ? 'today' : `on ${dayWords(bearings, at)}`}${diluted ? ` (one part tank water, ${diluted.dilution - 1} parts purified water or new salt water; write down the number the kit shows and the dilution)` : ''}.`,
    because: [
      most < worthwhile
        ? {
            fact: 'no test in the coming days would tell much about the ready date; this one is to see that nothing is amiss',
          }
        : {
            fact: `of all tests in the next ten days this one tells most for the waiting: ${shareWords(tests[0]!.tells)} what is still uncertain about the ready date`,
            source: 'mutual information over the particles (docs/science/advice.md)',
          },
      diluted
        ? {
            fact: `undiluted it would very likely show the end of its card; ${diluted.analyte} is ${levelBandWords(bearings, diluted.analyte, bearings.levels[diluted.analyte])}`,
          }
        : undefined,
      tests.some(({ kit }) => kit === null)
        ? {
            fact: 'the journal describes no kit for it: describe yours once, with the steps of its card and what its number counts, and readings say more',
          }
        : undefined,
      ...skip,
    ],
    urgency: today ? 'today' : 'soon',
    holdsWhile: 'this is the test that tells most',
    lookAgain: at,
    cautions: ['CAU-C5'],
  });
}

/** Eight equal groups hold ln 8 = 2.08 nats of uncertainty. */
const shareWords = (nats: number): string => {
  const share = nats / Math.log(8);
  return share > 0.5
    ? 'more than half of'
    : share > 0.25
      ? 'a good part of'
      : share > 0.1
        ? 'some of'
        : 'a little of';
};

function skipped(bearings: Bearings, tests: readonly Candidate[], usable: readonly Candidate[]): Reason[] {
  const chosen = new Set(tests.map(({ analyte }) => analyte));
  const spare = (['ammonia', 'nitrite', 'nitrate'] as const).filter(
    (analyte) =>
      !chosen.has(analyte) &&
      usable.some((one) => one.analyte === analyte) &&
      bearings.facts.readings.some((reading) => reading.analyte === analyte),
  );
  return spare.map((analyte) =>
    analyte === 'nitrate' && bearings.levels.nitrite.p50 > 0.3
      ? {
          fact: 'leave nitrate out: nitrite colours most nitrate kits, so it would read far too high',
          source: 'chemistry of the reduction method',
        }
      : { fact: `leave ${analyte} out this time: it would tell nearly nothing new` },
  );
}

/** The first dose is checked within hours: the rise tells whether litres and strength are right (R-RTE-3). */
function doseCheck(bearings: Bearings): Order | undefined {
  const { facts, asOf } = bearings;
  const doses = facts.doses.filter(
    ({ substance }) => substance === 'ammonium-chloride' || substance === 'ammonia-solution',
  );
  const first = doses[0];
  if (!first || doses.length > 1 || asOf - first.at > 12 * 3_600_000) return undefined;
  if (facts.readings.some(({ analyte, at }) => analyte === 'ammonia' && at >= first.at)) return undefined;
  const when = new Date(Math.max(first.at + 3_600_000, asOf)).toISOString();
  const kit = [...facts.kits.values()].find(({ analyte }) => analyte === 'ammonia')?.kit ?? null;
  return order(bearings, {
    key: 'test:first-dose',
    do: 'test',
    when,
    what: { tests: [{ analyte: 'ammonia', kit, dilution: 1 }] },
    say: 'Test ammonia an hour after the dose, once it has mixed: the rise tells whether litres and strength are right.',
    because: [
      {
        fact: 'a reading outside three quarters to four thirds of what was aimed at means the litres or the strength are wrong',
        entry: first.entry,
        source: 'conservation of mass',
      },
    ],
    urgency: 'today',
    holdsWhile: 'the first dose is fresh and unread',
    cautions: ['CAU-C5'],
  });
}

/** With animals present tests follow safety, not curiosity. */
function withAnimals(bearings: Bearings): Order {
  const { animals, asOf, ready, facts } = bearings;
  const last = lastReading(bearings, 'ammonia');
  const kit = (analyte: string): string | null =>
    [...facts.kits.values()].find((one) => one.analyte === analyte)?.kit ?? null;
  const { days, why, source } = rhythm(bearings);
  const due = last ? last.at + days * dayMs : asOf;
  const late = due <= asOf;
  const when = late ? hoursFrom(bearings, 0) : snapped(bearings, due);
  const pH = hoursSince(bearings, lastReading(bearings, 'pH')?.at) > 6 * 24;
  const tests = ['ammonia', 'nitrite', ...(pH ? ['pH'] : [])];
  return order(bearings, {
    key: 'test',
    do: 'test',
    when,
    what: { tests: tests.map((analyte) => ({ analyte, kit: kit(analyte), dilution: 1 })) },
    say: `Test ${listWords(tests)} ${late ? 'now' : `on ${dayWords(bearings, when)}`}, and look at every animal: count, breathing, appetite.`,
    because: [
      { fact: why, source },
      animals.present && ready < 0.9
        ? { fact: `the chance that the bacteria keep up is ${chanceWords(ready)}` }
        : undefined,
      pH
        ? { fact: 'pH decides how much of the ammonia is poisonous, and was not measured within six days' }
        : undefined,
    ],
    urgency: late
      ? ready < 0.9
        ? 'now'
        : 'today'
      : Date.parse(when) - asOf < 0.75 * dayMs
        ? 'today'
        : 'soon',
    holdsWhile: 'animals are in the water',
    lookAgain: when,
    cautions: ['CAU-C5'],
  });
}

function rhythm({ animals, asOf, ready, situation }: Bearings): {
  days: number;
  why: string;
  source: string;
} {
  const source = 'customary practice';
  if (ready < 0.9)
    return { days: 1, why: 'animals live in water that is not ready: ammonia and nitrite every day', source };
  const age = (asOf - (animals.lastArrival ?? situation.opened)) / dayMs;
  if (age < 14) {
    const next = afterArrivalDays.find((day) => day > age - 0.5) ?? 14;
    const previous = afterArrivalDays.findLast((day) => day < next) ?? 0;
    return {
      days: next - previous,
      why: 'after an arrival ammonia and nitrite are read on days 1, 2, 3, 5, 7 and 14',
      source,
    };
  }
  return age < 90
    ? { days: 7, why: 'in the first three months ammonia and nitrite are read weekly', source }
    : { days: 30, why: 'in a settled tank ammonia and nitrite are read monthly and after any event', source };
}

/** The keeper's testing hour on the day something falls due. */
function snapped(bearings: Bearings, due: number): string {
  const ahead = Math.max(0, Math.floor((due - Date.parse(usualHour(bearings, 0))) / dayMs + 0.5));
  return ahead === 0 && due > bearings.asOf ? new Date(due).toISOString() : usualHour(bearings, ahead);
}
