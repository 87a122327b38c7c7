import { ended, fit, follow, predictReadings, suppose, update } from '../../src/index.ts';
import { cards, seen, tank } from '../tank.ts';

/** 64-bit FNV-1a of the bytes of numbers, as text. */
function digest(...tables: readonly (readonly number[] | Float64Array)[]): string {
  let hash = 0xcbf29ce484222325n;
  for (const table of tables)
    for (const byte of new Uint8Array(Float64Array.from(table).buffer))
      hash = ((hash ^ BigInt(byte)) * 0x100000001b3n) & 0xffffffffffffffffn;
  return hash.toString(16);
}

/** Digests of a fit, an update and what is asked of them, each under its name. */
function digestsOfAnswers(): Record<string, string> {
  const early = tank(10, [
    seen(1, 'ammonia', 4),
    seen(6, 'ammonia', 4),
    seen(6, 'nitrite', 1),
    seen(10, 'ammonia', 3),
  ]);
  const late = tank(14, [...early.observations, seen(14, 'ammonia', 0), seen(14, 'nitrite', 5)]);
  const fitted = ended(fit(early, { seed: 11, particles: 192 }));
  const updated = ended(update(fitted, late));
  const ahead = ended(follow(updated, 60));
  const ask = { day: 17, instrument: cards.nitrite, which: 1, dilution: 1 };
  const forecasts = predictReadings(updated, [ask], [0.05, 0.5, 0.95]);
  const supposed = suppose(updated, { days: [20], asks: [ask] });
  return {
    fit: digest(fitted.scores, fitted.logLikelihoods, [fitted.logEvidence]),
    update: digest(updated.scores, updated.logLikelihoods, [updated.logEvidence]),
    follow: digest(ahead.ammonia, ahead.nitrite, ahead.nitrate, ahead.readyDays, ahead.today),
    predict: digest(...forecasts.flatMap(({ quantiles, chances, mean }) => [quantiles, chances, [mean]])),
    suppose: digest(supposed.ammonia, supposed.alkalinity, ...supposed.outcomes),
  };
}

declare global {
  var answersInBytes: () => Record<string, string>;
}
globalThis.answersInBytes = digestsOfAnswers;
