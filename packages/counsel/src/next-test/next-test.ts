import type { Bearings } from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { Order, Reason } from '../orders/order.ts';
import { testOf } from '../orders/test-of.ts';
import { levelBandWords } from '../orders/words.ts';
import type { Proof } from '../readiness/proof.ts';
import { dayMs } from '../situation/situation.ts';
import type { Exposure } from '../welfare/exposure.ts';
import { survey } from './candidates.ts';
import { baseline, doseCheck } from './fixed.ts';
import { mostTelling } from './most-telling.ts';
import { repeatOrder } from './repeat.ts';
import { withAnimals } from './with-animals.ts';

/** Days of silence after which both ammonia and nitrite are read before anything else. */
const silenceDays = 11;

/** The next test of the water, when, and which tests can be left out. */
export function nextTestOrders(bearings: Bearings, proof: Proof, exposure: Exposure | undefined): Order[] {
  const again = repeatOrder(bearings);
  if (exposure) return [...(again ? [again] : []), withAnimals(bearings, exposure)];
  if (again) return [again];
  if (proof.state === 'running') return [];
  const check = doseCheck(bearings);
  if (check) return [check];
  if (bearings.situation.neverFed || proof.state === 'proven') return [];
  return [theTest(bearings), ...baseline(bearings)];
}

function theTest(bearings: Bearings): Order {
  if (bearings.situation.problem.observations.length === 0) return firstLook(bearings);
  if (silentDays(bearings) > silenceDays) return afterSilence(bearings);
  const found = survey(bearings);
  const telling = mostTelling(bearings, found);
  return found.postponed ? { ...telling, because: [...telling.because, notBefore] } : telling;
}

const notBefore: Reason = {
  fact: 'not sooner: until about then nothing that could be read would change what is to be done',
  source: 'forecast from the readings so far',
};

/** Fed and never read: there is nothing yet to weigh one test against another by. */
function firstLook(bearings: Bearings): Order {
  return order(bearings, {
    key: 'test',
    do: 'test',
    what: { tests: ['ammonia', 'nitrite'].map((analyte) => testOf(bearings, analyte)) },
    say: 'Test ammonia and nitrite today: this tank was fed, and nobody has read its water yet.',
    because: [
      {
        fact: 'the first two readings tell whether the dose rose as it should and whether the bacteria have begun',
        source: 'conservation of mass',
      },
    ],
    urgency: 'today',
    holdsWhile: 'the tank has been fed and its water never read',
    cautions: ['CAU-C5'],
  });
}

const silentDays = ({ facts, asOf, situation }: Bearings): number =>
  (asOf - (facts.readings.findLast(({ at }) => at <= asOf)?.at ?? situation.opened)) / dayMs;

/** After long silence the whole picture is read anew. */
function afterSilence(bearings: Bearings): Order {
  return order(bearings, {
    key: 'test',
    do: 'test',
    what: { tests: ['ammonia', 'nitrite'].map((analyte) => testOf(bearings, analyte)) },
    say: 'Test ammonia and nitrite today before anything else: nobody has looked for long.',
    because: [
      {
        fact: `the last test was ${Math.floor(silentDays(bearings))} days ago; ammonia is reckoned at ${levelBandWords(bearings, 'ammonia', bearings.levels.ammonia)} and nitrite at ${levelBandWords(bearings, 'nitrite', bearings.levels.nitrite)}, and both may be wrong`,
      },
    ],
    urgency: 'today',
    holdsWhile: 'nothing has been read for more than ten days',
    cautions: ['CAU-C5'],
  });
}
