import { type Bearings, dayWords, hoursFrom, lastReading } from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { Order, Reason, TestToDo } from '../orders/order.ts';
import { levelBandWords, listWords } from '../orders/words.ts';
import { dayMs } from '../situation/situation.ts';
import { type Candidate, jointTells, longestUnseenDays, type Survey } from './candidates.ts';

/** nats under which a test is not worth its reagent. */
const worthwhile = 0.04;
/** A test is done on the first day that tells this share of the most any day would. */
const shareOfMost = 0.7;
/** A second test has to add this share to what the first tells. */
const shareOfFirst = 0.35;
/** Days after which ammonia, or nitrite, is read along with whatever tells more. */
const staleDays = 12;
/** An undiluted reading that likely shows the end of its card is taken diluted. */
const likelyOver = 0.5;

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
  return testOrder(bearings, found.about, tests, most, skipped(bearings, tests, usable));
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
  const due = (last - bearings.situation.opened) / dayMs + longestUnseenDays;
  return due;
}

function testOrder(
  bearings: Bearings,
  about: string,
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
            fact: `no test in the coming days would tell much about ${about}; this one is to see that nothing is amiss`,
          }
        : {
            fact: `of all tests in the next ten days this one tells most for the waiting: ${shareWords(tests[0]!.tells)} what is still uncertain about ${about}`,
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
