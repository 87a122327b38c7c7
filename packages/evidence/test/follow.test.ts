import { expect, it } from 'vitest';
import { ended, fit, follow, predictReadings } from '../src/index.ts';
import { showNearest } from '../src/outlook/follow.ts';
import { cards, tank } from './tank.ts';

it('takes the nearest particle that could be followed in place of one that could not', () => {
  const shown: number[] = [];
  const model = {
    show(particle: number): boolean {
      if (particle % 4 !== 3) return false;
      shown.push(particle);
      return true;
    },
  };
  for (const particle of [3, 0, 4, 9]) showNearest(model, particle, 10);
  expect(shown).toEqual([3, 3, 3, 7]);
  expect(() => showNearest({ show: () => false }, 0, 4)).toThrow('no particle');
});

it('looks ahead and foretells readings in a tank that was never read', () => {
  const posterior = ended(fit(tank(2, [], { instruments: [] }), { particles: 64 }));
  const { readyDays } = ended(follow(posterior, 60));
  expect(readyDays.length).toBe(64);
  const asked = { day: 2.5, instrument: cards.ammonia, which: null, dilution: 1 } as const;
  const [forecast] = predictReadings(posterior, [asked], [0.05, 0.5, 0.95]);
  expect(forecast!.chances.reduce((sum, chance) => sum + chance, 0)).toBeCloseTo(1, 9);
  // A dose of 2 mg/L and a few days: what is shown lies about there.
  expect(forecast!.quantiles[1]).toBeGreaterThan(1);
});
