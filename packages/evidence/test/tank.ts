import type { Instrument, Observation, Problem } from '../src/index.ts';
import { stepInterval } from '../src/index.ts';

/** A dosed salt-water tank with drop cards, the plain case of these tests. Levels in mg/L as N. */
export const cards = {
  ammonia: {
    form: 'card',
    analyte: 'ammonia',
    steps: [0, 0.25, 0.5, 1, 2, 4, 8].map((step) => step * 0.822),
  },
  nitrite: { form: 'card', analyte: 'nitrite', steps: [0, 0.25, 0.5, 1, 2, 5].map((step) => step * 0.304) },
  nitrate: { form: 'card', analyte: 'nitrate', steps: [0, 5, 10, 20, 40, 80].map((step) => step * 0.226) },
} as const satisfies Record<string, Instrument>;

const order = ['ammonia', 'nitrite', 'nitrate'] as const;

/** A reading of a step of one of the cards. */
export function seen(day: number, analyte: (typeof order)[number], step: number): Observation {
  const { low, high } = stepInterval(cards[analyte].steps, step);
  return { day, instrument: order.indexOf(analyte), low, high, shown: low, dilution: 1 };
}

export function tank(
  today: number,
  observations: readonly Observation[],
  more: Partial<Problem> = {},
): Problem {
  return {
    start: 'wild',
    salinity: 35,
    today,
    volumeSpread: 0.05,
    alkalinity: { value: 2.5, sd: 0.2 },
    surroundings: [{ temperatureC: 25.5, pH: 8.1, salinity: 35, oxygenMgL: 6.7 }],
    unsizedAnimals: false,
    deeds: [{ kind: 'ammonia', day: 0, size: { form: 'known', amount: 2 } }],
    sources: [],
    instruments: order.map((analyte) => cards[analyte]),
    observations,
    ...more,
  };
}
