import { predictReadings } from '@brinewright/evidence';
import { fromNitrogen } from '@brinewright/journal';
import { instrumentOf, isNitrogen, usualBasis } from '../situation/readings.ts';
import { dayMs, SituationError } from '../situation/situation.ts';
import type { Prediction } from './answer.ts';
import { tidy } from './course.ts';
import type { Reckoning } from './reckon.ts';

export interface PredictOptions {
  /** Epoch milliseconds. */
  readonly at: number;
  readonly analyte: string;
  /** Name of a kit of the journal. */
  readonly kit: string;
  readonly dilution?: number;
}

const shares = [0.05, 0.25, 0.5, 0.75, 0.95] as const;

/**
 * What a kit would read at an instant, in the kit's own ion and before multiplying by the dilution.
 * @throws SituationError where the kit is not declared, measures something else or the instant is before the opening.
 */
export function predict(
  reckoning: Reckoning,
  { at, analyte, kit: name, dilution = 1 }: PredictOptions,
): Prediction {
  const { situation, posterior } = reckoning;
  const kit = situation.facts.kits.get(name);
  if (!kit) {
    const known = [...situation.facts.kits.keys()].join(', ') || 'none';
    throw new SituationError(`the journal declares no kit "${name}"; it has: ${known}`);
  }
  if (kit.analyte !== analyte) throw new SituationError(`kit "${name}" reads ${kit.analyte}, not ${analyte}`);
  if (!isNitrogen(analyte))
    throw new SituationError(`only ammonia, nitrite and nitrate can be foretold, not ${analyte}`);
  const day = (at - situation.opened) / dayMs;
  if (!(day >= 0)) throw new SituationError('the instant lies before the tank was opened');
  const instrument = instrumentOf(kit)!;
  const which = situation.problem.instruments.findIndex(
    (one) => JSON.stringify(one) === JSON.stringify(instrument),
  );
  const ask = { day, instrument, which: which < 0 ? null : which, dilution };
  const [forecast] = predictReadings(posterior, [ask], shares);
  if (!forecast) throw new SituationError('the water could not be followed to that instant');
  const as = kit.as ?? usualBasis[analyte];
  const shown = (level: number): number => tidy(fromNitrogen(level, as));
  const [p05, p25, p50, p75, p95] = forecast.quantiles.map(shown);
  return {
    analyte,
    as,
    mean: shown(forecast.mean),
    quantiles: { '0.05': p05!, '0.25': p25!, '0.5': p50!, '0.75': p75!, '0.95': p95! },
    ...(kit.steps && {
      steps: kit.steps.map((value, index) => ({ value, probability: tidy(forecast.chances[index]!) })),
    }),
  };
}
