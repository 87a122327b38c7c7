import { inHundred } from '../chances.ts';
import { type Bearings, hoursFrom } from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { Order, TestToDo } from '../orders/order.ts';
import { testOf } from '../orders/test-of.ts';
import { listWords } from '../orders/words.ts';
import { type Cause, causes, suspicionsOf } from './causes.ts';
import { evidenceOf } from './signatures.ts';

/** Causes a test of the water tells apart, by analyte. */
const testsOf: Readonly<Record<string, string>> = {
  'STL-ALK': 'alkalinity',
  'STL-PH': 'pH',
  'STL-COLD': 'temperature',
  'STL-HOT': 'temperature',
  'STL-TAN': 'ammonia',
  'STL-NO2': 'nitrite',
  'STL-PO4': 'phosphate',
  'STL-O2': 'oxygen',
  'STL-SAL': 'salinity',
  'STL-INT': 'nitrate',
};
const shownAtMost = 3;
const leastShown = 0.08;
/** A list in which nothing stands out is no diagnosis. */
const leastLikely = 0.2;

/** Where something is probably wrong: the likely causes, the cheapest look that tells them apart, what to do and not. */
export function stallOrders(bearings: Bearings): Order[] {
  const suspicions = suspicionsOf(evidenceOf(bearings));
  if (suspicions.length === 0) return [];
  const ranked = causes(bearings.reckoning);
  const sound = ranked.find(({ cause }) => cause === 'sound')!;
  if (sound.probability >= 0.5) return [];
  const likely = ranked
    .filter(({ cause, probability }) => cause !== 'sound' && probability >= leastShown)
    .slice(0, shownAtMost);
  const [first] = likely;
  if (!first || first.probability < leastLikely) return [];
  const { advice } = first;
  if (advice === null) return [];
  const opening =
    first.probability > sound.probability
      ? 'Something holds this tank up, most likely that'
      : 'It may only take its time, but if something holds this tank up it is most likely that';
  return [
    order(bearings, {
      key: `stall:${first.cause}`,
      do: 'test',
      what: {
        tests: testFor(bearings, first.cause),
        look: advice.look,
        causes: likely.map(({ cause, probability }) => ({ cause, probability })),
      },
      say: `${opening} ${first.name}. ${advice.look}. If so: ${advice.remedy}${advice.never === '' ? '' : `; not: ${advice.never}`}.`,
      because: [
        { fact: `${listWords(suspicions)}` },
        ...likely.map((cause) => ({
          fact: causeWords(cause),
          ...(cause.advice && { source: cause.advice.source }),
        })),
        { fact: `that nothing is wrong has a chance of ${inHundred(sound.probability)}` },
      ],
      urgency: first.probability > sound.probability ? 'today' : 'soon',
      sure: first.probability,
      holdsWhile: 'the readings say that something is wrong and this is the likeliest cause',
      lookAgain: hoursFrom(bearings, 48),
      cautions: ['CAU-C5'],
    }),
  ];
}

const causeWords = ({ name, fact, probability }: Cause): string =>
  `${name}: ${inHundred(probability)}${fact === undefined ? '' : ` (${fact})`}`;

function testFor(bearings: Bearings, cause: string): TestToDo[] {
  const analyte = testsOf[cause];
  if (analyte === undefined) return [];
  const high = (analyte === 'nitrite' && bearings.levels.nitrite.p50 > 1.5) || cause === 'STL-TAN';
  return [testOf(bearings, analyte, high ? (analyte === 'nitrite' ? 10 : 5) : 1)];
}
