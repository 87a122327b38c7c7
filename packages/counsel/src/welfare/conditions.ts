import type { ReadingBody, Stamped } from '@brinewright/journal';
import { type Bearings, lastReading } from '../orders/bearings.ts';
import { exchangeSize, exchangeWords } from '../orders/exchange-size.ts';
import { order } from '../orders/make.ts';
import type { Order } from '../orders/order.ts';
import { chanceOf } from '../orders/particles.ts';
import { levelBandWords } from '../orders/words.ts';
import { kindWords, type Limit, limitsFor } from './limits.ts';
import { noChange } from './sign-orders.ts';

/** Days for which a reading of the surroundings speaks. */
const spokenForDays = 2;

interface Condition {
  readonly analyte: 'temperature' | 'salinity' | 'oxygen' | 'pH';
  readonly parameter: string;
  readonly unit: string;
  readonly low: string;
  readonly high: string;
}

const watched: readonly Condition[] = [
  {
    analyte: 'oxygen',
    parameter: 'dissolved_oxygen',
    unit: ' mg/L',
    low: 'air and surface movement at once, no food',
    high: 'look whether the probe is right',
  },
  {
    analyte: 'temperature',
    parameter: 'temperature',
    unit: ' °C',
    low: 'check the heater and warm by at most 1 °C an hour',
    high: 'aerate, shade, fan, or float sealed ice bottles; cool by at most 2 °C an hour',
  },
  {
    analyte: 'salinity',
    parameter: 'salinity',
    unit: '',
    low: 'check the instrument, then raise it by at most 1 a day',
    high: 'check the instrument, then lower it with fresh water by at most 1 a day',
  },
  {
    analyte: 'pH',
    parameter: 'ph_nbs',
    unit: '',
    low: 'more surface movement and outdoor air; no additive while there is ammonia',
    high: 'stop every additive, test ammonia: a high pH makes it poisonous',
  },
];

/** Orders for what else the animals stand in: oxygen, temperature, salinity, pH and nitrite. */
export function conditions(bearings: Bearings): Order[] {
  return [...watched.flatMap((condition) => conditionOrder(bearings, condition)), ...nitriteOrder(bearings)];
}

function conditionOrder(bearings: Bearings, condition: Condition): Order[] {
  const { analyte, parameter, unit } = condition;
  const reading = lastReading(bearings, analyte, spokenForDays);
  const value = reading?.value;
  if (!reading || value === undefined) return [];
  const limit = limitsFor(parameter, bearings.animals, bearings.salinity)[0];
  if (!limit) return [];
  const { okMin, okMax, emergencyBelow, emergencyAbove } = limit.row;
  const low = value < (okMin ?? -Infinity);
  if (!low && !(value > (okMax ?? Infinity))) return [];
  const grave = value < (emergencyBelow ?? -Infinity) || value > (emergencyAbove ?? Infinity);
  const remedy = low ? condition.low : condition.high;
  const found = `${analyte} ${value}${unit} is ${low ? 'below' : 'above'} ${low ? okMin : okMax}${unit}`;
  return [
    grave
      ? graveOrder(bearings, condition, reading, limit, found, remedy)
      : order(bearings, {
          key: `welfare:${analyte}`,
          do: 'test',
          what: { tests: [{ analyte, kit: reading.kit ?? null, dilution: 1 }], look: remedy },
          say: `${capital(found)} for your ${kindWords[limit.kind]}: ${remedy}; measure again this evening.`,
          because: [bandReason(limit, unit), { fact: found, entry: reading.entry }],
          urgency: 'today',
          holdsWhile: `the last reading of ${analyte} lies outside its band`,
        }),
  ];
}

function graveOrder(
  bearings: Bearings,
  { analyte, unit }: Condition,
  reading: Stamped<ReadingBody>,
  limit: Limit,
  found: string,
  remedy: string,
): Order {
  return order(bearings, {
    key: `welfare:${analyte}`,
    do: 'emergency',
    what: {
      exchange: noChange(bearings),
      stopFeeding: true,
      aerate: true,
      retestAfterHours: 1,
    },
    say: `${capital(found)}, which is an emergency for your ${kindWords[limit.kind]}: ${remedy}; measure again in an hour.`,
    because: [bandReason(limit, unit), { fact: found, entry: reading.entry }],
    urgency: 'now',
    holdsWhile: `the last reading of ${analyte} lies past its emergency bound`,
    cautions: ['CAU-X1', 'CAU-E3'],
  });
}

const bandReason = ({ row, kind }: Limit, unit: string) => ({
  fact: `for ${kindWords[kind]} ${row.okMin}–${row.okMax}${unit} is no concern${
    row.emergencyBelow === null ? '' : `, below ${row.emergencyBelow}`
  }${row.emergencyAbove === null ? '' : `${row.emergencyBelow === null ? ', ' : ' or '}above ${row.emergencyAbove}`} an emergency`,
  source: `${row.basis || row.source} (${row.id})`,
});

/** Nitrite: chloride shields the gill, so at full salinity it is seldom more than a sign of an unfinished second step. */
function nitriteOrder(bearings: Bearings): Order[] {
  const limit = limitsFor('no2_n', bearings.animals, bearings.salinity).at(0);
  const level = bearings.levels.nitrite;
  if (!limit || level.p50 <= (limit.row.okMax ?? Infinity)) return [];
  const grave = level.p50 > (limit.row.emergencyAbove ?? Infinity);
  const size = exchangeSize(bearings, grave ? 0.5 : Math.min(0.5, 1 - limit.row.okMax! / level.p50));
  const because = [
    {
      fact: `nitrite is ${levelBandWords(bearings, 'nitrite', level)}; for ${kindWords[limit.kind]} at this salinity up to ${limit.row.okMax} mg/L as N is no concern, above ${limit.row.emergencyAbove} an emergency`,
      source: `${limit.row.basis} (${limit.row.id})`,
    },
    { fact: 'in sea water chloride keeps nitrite off the gill: it marks an unfinished second step' },
  ];
  const common = {
    key: 'welfare:nitrite',
    because,
    sure: chanceOf(bearings.draws.nitrite, (value) => value > (limit.row.okMax ?? Infinity)),
    holdsWhile: 'nitrite is above its limit for the animals present',
    cautions: ['CAU-E3'] as const,
  };
  return [
    grave
      ? order(bearings, {
          ...common,
          do: 'emergency',
          what: { exchange: size, stopFeeding: true, aerate: true, retestAfterHours: 2 },
          say: `Nitrite is dangerous for your ${kindWords[limit.kind]}: air, no food, and change ${exchangeWords(size)} now; test again in two hours.`,
          urgency: 'now',
        })
      : order(bearings, {
          ...common,
          do: 'exchange',
          what: size,
          say: `Nitrite is higher than your ${kindWords[limit.kind]} should live in: feed less and change ${exchangeWords(size)} today.`,
          urgency: 'today',
        }),
  ];
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
