import { ended } from '@brinewright/evidence';
import { describe, expect, it } from 'vitest';
import { compareRoutes, type RouteOutlook } from '../../src/index.ts';

const compared = (particles = 192, prices = {}): RouteOutlook[] =>
  ended(compareRoutes({ litres: 200 }, { particles, days: 120, prices }));

/** Milliseconds a test may take on a busy machine; alone each is done in about one second. */
const patience = 30_000;

describe('the ways to start one tank', { timeout: patience }, () => {
  const routes = compared();
  const of = (route: string): RouteOutlook => routes.find((one) => one.route === route)!;

  it('takes what published starts take: about 35 to 55 days with ammonia alone, a third of it with media', () => {
    // Manthe & Malone 1987: 35 days; the prior-predictive median for ammonia alone is 44 (20–81).
    expect(of('salt').days.p50).toBeGreaterThan(33);
    expect(of('salt').days.p50).toBeLessThan(58);
    expect(of('mature-media').days.p50).toBeLessThan(12);
    expect(of('salt+culture').days.p50).toBeLessThan(of('salt').days.p50 ?? 0);
  });

  it('says what animals would bear, and that no other route asks it of them', () => {
    expect(routes.filter(({ usesAnimals }) => usesAnimals)).toHaveLength(2);
    for (const { usesAnimals, exposure } of routes) expect(exposure !== null).toBe(usesAnimals);
    expect(of('animals').exposure?.hoursAbove.p95).toBeGreaterThan(100);
  });

  it('rises from nothing to nearly certain by day', () => {
    for (const { byDay } of routes) {
      expect(byDay[0]).toBeLessThan(0.2);
      expect(byDay.every((chance, day) => day === 0 || chance >= byDay[day - 1]!)).toBe(true);
    }
    expect(of('salt+culture').byDay.at(-1)).toBeGreaterThan(0.95);
  });

  it('counts only the prices it was given', () => {
    expect(routes.every(({ cost }) => cost === null)).toBe(true);
    const priced = compared(64, { culture: 10 });
    expect(priced.find(({ route }) => route === 'salt+culture')?.cost?.p50).toBe(10);
    expect(priced.find(({ route }) => route === 'salt')?.cost?.p50).toBe(0);
  });
});
