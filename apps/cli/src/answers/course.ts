import type { BandPoint, CapacityBand, Course, Prediction } from '@brinewright/counsel';
import { decimals, probability, quantity } from './rounding.ts';

/** The answer of `course`, its numbers rounded as `rounding.ts` says. */
export function courseAnswer(course: Course): Course {
  const { tank, asOf, stage, ready, series, capacity, fit } = course;
  return {
    tank,
    asOf,
    stage,
    ready: {
      ...ready,
      byDay: ready.byDay.map((day) => ({ ...day, probability: probability(day.probability) })),
    },
    series: series.map((each) => ({ ...each, points: each.points.map(pointAnswer) })),
    capacity: { ammonia: bandAnswer(capacity.ammonia), nitrite: bandAnswer(capacity.nitrite) },
    fit: {
      ...fit,
      effectiveSamples: decimals(fit.effectiveSamples, 1),
      logEvidence: decimals(fit.logEvidence, 2),
      seconds: decimals(fit.seconds, 1),
    },
  };
}

const pointAnswer = ({ at, p05, p25, p50, p75, p95 }: BandPoint): BandPoint => ({
  at,
  p05: quantity(p05),
  p25: quantity(p25),
  p50: quantity(p50),
  p75: quantity(p75),
  p95: quantity(p95),
});

const bandAnswer = ({ unit, p05, p50, p95 }: CapacityBand): CapacityBand => ({
  unit,
  p05: quantity(p05),
  p50: quantity(p50),
  p95: quantity(p95),
});

/** The answer of `predict`, rounded the same way; a card's steps keep the numbers printed on it. */
export function predictionAnswer({ analyte, as, mean, quantiles, steps }: Prediction): Prediction {
  return {
    analyte,
    as,
    mean: quantity(mean),
    quantiles: {
      '0.05': quantity(quantiles['0.05']),
      '0.25': quantity(quantiles['0.25']),
      '0.5': quantity(quantiles['0.5']),
      '0.75': quantity(quantiles['0.75']),
      '0.95': quantity(quantiles['0.95']),
    },
    ...(steps && {
      steps: steps.map((step) => ({ value: step.value, probability: probability(step.probability) })),
    }),
  };
}
