import { afterEach, describe, expect, it, vi } from 'vitest';
import {
  ended,
  fit,
  follow,
  type Posterior,
  predictReadings,
  prepare,
  quantiles,
  settle,
  surprisesOf,
  update,
} from '../src/index.ts';
import { normalise } from '../src/infer/weights.ts';
import { stream } from '../src/numbers/random.ts';
import { cards, seen, tank } from './tank.ts';

/** Ammonia gone by day 14, nitrite over the card: the second group is what is awaited. */
const middleOfTheStart = [
  seen(1, 'ammonia', 4),
  seen(6, 'ammonia', 4),
  seen(6, 'nitrite', 0),
  seen(10, 'ammonia', 3),
  seen(10, 'nitrite', 3),
  seen(14, 'ammonia', 0),
  seen(14, 'nitrite', 5),
];
const settings = { seed: 5, particles: 256 };
const middle = (values: Float64Array): number => quantiles(values, [0.5])[0]!;
const score = (posterior: Posterior, name: string): Float64Array => {
  const size = posterior.model.coordinates.length;
  const place = posterior.model.coordinates.findIndex((coordinate) => coordinate.name === name);
  return Float64Array.from(
    { length: posterior.settings.particles },
    (_, i) => posterior.scores[i * size + place]!,
  );
};

function correlation(xs: Float64Array, ys: Float64Array): number {
  const mean = (values: Float64Array): number =>
    values.reduce((sum, value) => sum + value, 0) / values.length;
  const [x, y] = [mean(xs), mean(ys)];
  const product = (a: Float64Array, ma: number, b: Float64Array, mb: number): number =>
    a.reduce((sum, value, i) => sum + (value - ma) * (b[i]! - mb), 0);
  return product(xs, x, ys, y) / Math.sqrt(product(xs, x, xs, x) * product(ys, y, ys, y));
}

afterEach(() => vi.unstubAllGlobals());

describe('fitting a tank', () => {
  const problem = tank(14, middleOfTheStart);
  const posterior = ended(fit(problem, settings));

  it('gives the same bytes for the same seed and others for another', () => {
    const again = ended(fit(problem, settings));
    expect(again.scores).toEqual(posterior.scores);
    expect(again.logEvidence).toBe(posterior.logEvidence);
    const other = ended(fit(problem, { ...settings, seed: 6 }));
    expect(other.scores).not.toEqual(posterior.scores);
    expect(Math.abs(other.logEvidence - posterior.logEvidence)).toBeLessThan(1.5);
  });

  it('does not depend on the order the readings are given in', () => {
    const backwards = ended(fit(tank(14, [...middleOfTheStart].reverse()), settings));
    expect(backwards.logEvidence).toBeCloseTo(posterior.logEvidence, 6);
  });

  it('comes to the same on a machine without vectors, but for chance', () => {
    vi.stubGlobal('WebAssembly', undefined);
    const plain = ended(fit(problem, settings));
    expect(plain.scores).not.toEqual(posterior.scores);
    expect(Math.abs(plain.logEvidence - posterior.logEvidence)).toBeLessThan(0.5);
    for (const name of ['growthA', 'inoculum', 'blur', 'volume'])
      expect(Math.abs(middle(score(plain, name)) - middle(score(posterior, name)))).toBeLessThan(0.35);
  });

  it('says how much its particles are worth', () => {
    const { diagnostics } = posterior;
    expect(diagnostics.effectiveSamples).toBeGreaterThan(60);
    expect(diagnostics.effectiveSamples).toBeLessThanOrEqual(256);
    expect(diagnostics.acceptance).toBeGreaterThan(0.1);
    expect(diagnostics.warnings).toEqual([]);
    expect(diagnostics.solves).toBeLessThan(60 * 256);
  });

  it('learns that ammonia is being oxidised and nitrite not yet', () => {
    const ahead = ended(follow(posterior, 60));
    const at14 = ahead.days.indexOf(14);
    const level = (values: Float64Array): number =>
      middle(values.slice(at14 * ahead.particles, (at14 + 1) * ahead.particles));
    expect(level(ahead.ammonia)).toBeLessThan(0.2);
    expect(level(ahead.nitrite)).toBeGreaterThan(0.9);
    expect(middle(ahead.readyDays)).toBeGreaterThan(17);
    expect(middle(ahead.readyDays)).toBeLessThan(45);
  });

  it('foretells readings as chances of steps that add up to one', () => {
    const ask = { day: 16, instrument: cards.nitrite, which: 1, dilution: 1 };
    const [forecast] = predictReadings(posterior, [ask], [0.05, 0.95]);
    expect(forecast!.chances.reduce((sum, chance) => sum + chance, 0)).toBeCloseTo(1, 6);
    expect(forecast!.chances.at(-1)!).toBeGreaterThan(0.5);
  });

  it('is surprised by a reading nothing else suggests, and only by that one', () => {
    const odd = ended(fit(tank(14, [...middleOfTheStart, seen(12, 'ammonia', 6)]), settings));
    const found = surprisesOf(odd).map(({ surprise }) => surprise);
    expect(found.at(-1)!).toBeLessThan(0.05);
    expect(Math.min(...found.slice(0, -1))).toBeGreaterThan(found.at(-1)!);
  });

  it('moves the inoculum towards what the readings show', () => {
    // Ammonia gone by day 14 is early for a tank without culture, whose prior middle is a score of zero.
    expect(middle(score(posterior, 'inoculum'))).toBeGreaterThan(0.3);
  });

  it('can be abandoned at any pause and says how far it is', () => {
    const steps = fit(problem, settings);
    let last = 0;
    for (let pause = 0; pause < 20; pause++) {
      const step = steps.next();
      if (step.done) throw new Error('the fit ended before it was abandoned');
      expect(step.value.fraction).toBeGreaterThanOrEqual(last);
      last = step.value.fraction;
    }
    expect(last).toBeLessThan(1);
    steps.return(posterior);
    expect(steps.next().done).toBe(true);
  });
});

describe('one more test day', () => {
  const more = [...middleOfTheStart, seen(18, 'nitrite', 5), seen(18, 'ammonia', 0)];

  it('is taken in by an update that agrees with starting over', () => {
    const many = { seed: 9, particles: 768 };
    const updated = ended(update(ended(fit(tank(14, middleOfTheStart), many)), tank(18, more)));
    const fresh = ended(fit(tank(18, more), many));
    expect(updated.diagnostics.solves).toBeLessThan(0.4 * fresh.diagnostics.solves);
    expect(Math.abs(updated.logEvidence - fresh.logEvidence)).toBeLessThan(1);
    for (const name of ['inoculum', 'growthA', 'growthN', 'ratio'])
      expect(Math.abs(middle(score(updated, name)) - middle(score(fresh, name)))).toBeLessThan(0.45);
  });

  it('settles to the same posterior by particles that have been moved on, once', () => {
    const start = ended(fit(tank(14, middleOfTheStart), { seed: 9, particles: 768 }));
    expect(ended(settle(start))).toBe(start);
    const updated = ended(update(start, tank(18, more)));
    const settled = ended(settle(updated));
    expect(ended(settle(updated))).toBe(settled);
    expect(ended(settle(settled))).toBe(settled);
    expect(settled.logEvidence).toBe(updated.logEvidence);
    expect(settled.onward.round).toBeGreaterThan(updated.onward.round);
    for (const name of ['inoculum', 'growthA', 'growthN', 'ratio']) {
      expect(score(settled, name)).not.toEqual(score(updated, name));
      expect(Math.abs(middle(score(settled, name)) - middle(score(updated, name)))).toBeLessThan(0.45);
    }
  });

  it('draws what a further week may bring apart from what the weeks before brought', () => {
    const later = ended(update(ended(fit(tank(14, middleOfTheStart), settings)), tank(28, more)));
    expect(score(later, 'vigour:3')).not.toEqual(score(later, 'vigour:4'));
    expect(Math.abs(correlation(score(later, 'hidden:3'), score(later, 'hidden:4')))).toBeLessThan(0.3);
  });

  it('starts over where the new readings deny the old fit', () => {
    const before = ended(fit(tank(14, middleOfTheStart), settings));
    const foreseen = [...middleOfTheStart, seen(16, 'nitrite', 5)];
    expect(ended(update(before, tank(16, foreseen))).diagnostics.levels).toBe(0);
    const denied = [...middleOfTheStart, seen(16, 'nitrite', 0), seen(16, 'ammonia', 6)];
    expect(ended(update(before, tank(16, denied))).diagnostics.levels).toBeGreaterThan(0);
  });
});

describe('the marginal likelihood', () => {
  it('agrees with plain sampling from the prior', () => {
    const few = [seen(3, 'ammonia', 4), seen(9, 'ammonia', 4), seen(9, 'nitrite', 1)];
    const problem = tank(9, few);
    const model = prepare(problem);
    const draws = 6000;
    const logWeights = new Float64Array(draws);
    const scores = new Float64Array(model.coordinates.length);
    for (let draw = 0; draw < draws; draw++) {
      const random = stream(77, draw);
      do {
        for (let i = 0; i < scores.length; i++) scores[i] = random.normal();
        logWeights[draw] = model.logLikelihood(scores);
      } while (logWeights[draw] === -Infinity);
    }
    const plain = normalise(logWeights, new Float64Array(draws));
    const fitted = ended(fit(problem, { seed: 3, particles: 512 }));
    expect(Math.abs(fitted.logEvidence - plain)).toBeLessThan(0.25);
  });
});

describe('a tank with nothing to read', () => {
  it('falls back to what is usual', () => {
    const posterior = ended(fit(tank(0, []), settings));
    expect(posterior.logEvidence).toBe(0);
    const ahead = ended(follow(posterior, 150));
    const ready = middle(ahead.readyDays);
    expect(ready).toBeGreaterThan(25);
    expect(ready).toBeLessThan(70);
  });
});
