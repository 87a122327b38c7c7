import { raiseAlkalinity } from '../buffering/alkalinity.ts';
import { safeStepPerDay } from '../buffering/safe-steps.ts';
import { type Bearings, hoursFrom, lastReading } from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { Order, Reason } from '../orders/order.ts';
import { chanceOf } from '../orders/particles.ts';
import { testOf } from '../orders/test-of.ts';
import { bandWords, figure, neat } from '../orders/words.ts';
import type { Exposure } from '../welfare/exposure.ts';
import { limitsFor } from '../welfare/limits.ts';
import { alkalinityForbids } from './feeding.ts';

/** meq/L: below this it is worth restoring; the level aimed at. */
const restoreBelow = 1.8;
const aim = 2.5;
/** Reached by mistake this still harms no bacteria: no more than newly mixed water of a rich salt has. */
const mostReached = 3.5;
/** Days for which an alkalinity reading speaks. */
const readWithinDays = 7;
const sureEnough = 0.9;

/** Bicarbonate for the alkalinity that nitrification used; never while animals stand in ammonia. */
export function bufferOrders(bearings: Bearings, exposure: Exposure | undefined): Order[] {
  const { levels, draws, animals } = bearings;
  const low = chanceOf(draws.alkalinity, (value) => value < restoreBelow);
  if (low < 0.5) return [];
  const reading = lastReading(bearings, 'alkalinity', readWithinDays);
  if (!reading && (animals.present || !(low >= sureEnough || harmless(bearings))))
    return [testFirst(bearings, low)];
  if (exposure && endangered(bearings, exposure)) return [];
  const gain = animals.present
    ? Math.min(safeStepPerDay.alkalinity, aim - levels.alkalinity.p50)
    : aim - levels.alkalinity.p50;
  const raise = neat(gain);
  const grams = gramsFor(bearings, levels.alkalinity.p50, levels.alkalinity.p50 + raise);
  const amount =
    grams === null
      ? `${figure((84 * raise) / 1000)} g of bicarbonate for each litre`
      : `${figure(grams)} g of sodium bicarbonate`;
  return [
    order(bearings, {
      key: 'buffer',
      do: 'buffer',
      what: { substance: 'bicarbonate', grams, raisesMeqL: raise },
      say: `Restore alkalinity: dissolve ${amount} in tank water and pour it slowly into strong flow (raises it by ${figure(raise)} meq/L)${animals.present ? '; no more than that in a day, and test again tomorrow' : ', in two parts some hours apart'}.`,
      because: [
        {
          fact: `alkalinity is ${bandWords(levels.alkalinity, 'meq/L')}; below ${alkalinityForbids} nitrification stops`,
          source: 'SRAC 4502 (DeLong & Losordo 2012)',
          ...(reading ? { entry: reading.entry } : {}),
        },
        usedReason(bearings),
        animals.present
          ? {
              fact: `with animals at most ${safeStepPerDay.alkalinity} meq/L (1 dKH) in a day`,
              source: 'customary practice',
            }
          : undefined,
        bearings.litres ? undefined : { fact: 'the litres of this tank are not written down' },
      ],
      urgency: levels.alkalinity.p50 < alkalinityForbids ? 'today' : 'soon',
      sure: low,
      holdsWhile: `alkalinity is below ${restoreBelow} meq/L`,
      lookAgain: hoursFrom(bearings, 24),
      cautions: ['CAU-C5'],
    }),
  ];
}

/** In an empty tank read before, where at worst a little too much is added: that hurts nobody, and what was used is known. */
const harmless = (bearings: Bearings): boolean =>
  lastReading(bearings, 'alkalinity') !== undefined &&
  aim + bearings.levels.alkalinity.p95 - bearings.levels.alkalinity.p50 <= mostReached;

const usedReason = ({ levels }: Bearings): Reason => ({
  fact: `each mg/L of ammonia nitrogen turned over uses 0.14 meq/L; about ${figure(Math.max(0, levels.freed.p50 - levels.ammonia.p50))} mg/L was turned over`,
  source: 'Timmons & Ebeling, Recirculating Aquaculture',
});

function gramsFor(bearings: Bearings, from: number, to: number): number | null {
  const { litres, salinity, temperatureC } = bearings;
  if (!litres) return null;
  const exact = (value: number) => ({ value, sd: 0 });
  const { results } = raiseAlkalinity({
    litres,
    now: exact(from),
    target: exact(to),
    buffer: 'bicarbonate',
    purity: exact(1),
    salinity: exact(salinity),
    temperatureC: exact(temperatureC),
    roomCO2: exact(450),
  });
  return neat(results.find(({ name }) => name === 'grams')?.value ?? 0);
}

function testFirst(bearings: Bearings, low: number): Order {
  return order(bearings, {
    key: 'buffer:test',
    do: 'test',
    what: { tests: [testOf(bearings, 'alkalinity')] },
    say: 'Test alkalinity today: the bacteria have probably used much of it, and a guess is not enough to dose buffer by.',
    because: [
      { fact: `reckoned at ${bandWords(bearings.levels.alkalinity, 'meq/L')}` },
      usedReason(bearings),
      {
        fact: `below ${alkalinityForbids} meq/L nitrification stops`,
        source: 'SRAC 4502 (DeLong & Losordo 2012)',
      },
    ],
    urgency: 'today',
    sure: low,
    holdsWhile: 'alkalinity is reckoned low and has not been read for a week',
    cautions: ['CAU-C5'],
  });
}

/** Un-ionised ammonia may be above what is no concern: then nothing that raises pH goes in (R-PH-1). */
function endangered({ animals, salinity }: Bearings, { means }: Exposure): boolean {
  return limitsFor('nh3_n', animals, salinity).some(({ row }) =>
    means.some(({ hours, upper }) => hours === row.hours && upper > (row.okMax ?? Infinity)),
  );
}
