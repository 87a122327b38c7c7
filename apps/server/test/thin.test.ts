import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { USUAL } from '../src/probes/probe.ts';
import { NOTHING_HEARD, type Sample, type ThinState, thin } from '../src/probes/thin.ts';

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;
const settings = USUAL.temperature;
const FAR = Number.MAX_SAFE_INTEGER / 2;

const values = (every: number, list: readonly number[], from = 0): Sample[] =>
  list.map((value, i) => ({ at: from + i * every, value }));
const run = (samples: readonly Sample[], state: ThinState = NOTHING_HEARD, now = FAR) =>
  thin(state, samples, settings, now);

describe('thinning a probe', () => {
  it('writes the first value at once, then only what changes by the dead band', () => {
    const { written, aside } = run(values(10 * MINUTE, [25, 25.1, 25.15, 25.2, 25.1, 24.9, 25]));
    expect(written.map(({ value }) => value)).toEqual([25, 25.2, 24.9]);
    expect(aside).toEqual([]);
  });

  it('writes what stays the same after the longest gap, and at once after silence', () => {
    const day = values(30 * MINUTE, Array(49).fill(25));
    expect(run(day).written.map(({ at }) => at / HOUR)).toEqual([0, 6, 12, 18, 24]);
    const { state } = run(values(MINUTE, [25]));
    expect(run([{ at: 9 * HOUR, value: 25.05 }], state).written).toEqual([{ at: 9 * HOUR, value: 25.05 }]);
  });

  it('writes the median of a burst, so that one odd value in it is not seen', () => {
    const noisy = [25, 25.02, 24.98, 26.5, 25.01, 25, 24.99, 23.7, 25];
    expect(run(values(5000, noisy)).written).toEqual([{ at: 0, value: 25 }]);
  });

  it('keeps apart a jump that nothing confirms, and writes one that the next value confirms', () => {
    const spike = run(values(10 * MINUTE, [25, 31, 25.1, 25]));
    expect(spike.written.map(({ value }) => value)).toEqual([25]);
    expect(spike.aside).toEqual([{ at: 10 * MINUTE, value: 31, why: 'spike' }]);
    const step = run(values(10 * MINUTE, [25, 29.5, 29.4, 29.4]));
    expect(step.written.map(({ value }) => value)).toEqual([25, 29.4]);
    expect(step.aside).toEqual([]);
  });

  it('keeps apart what cannot be, what comes late and what claims to be of the future', () => {
    const odd = [
      { at: 0, value: 25 },
      { at: MINUTE, value: 85 },
      { at: 2 * MINUTE, value: -127 },
      { at: 3 * MINUTE, value: Number.NaN },
      { at: 0, value: 26 },
      { at: 8 * HOUR, value: 26 },
    ];
    const { written, aside, state } = run(odd, NOTHING_HEARD, HOUR);
    expect(written).toEqual([odd[0]]);
    expect(aside.map(({ why }) => why)).toEqual(['impossible', 'impossible', 'impossible', 'late', 'clock']);
    expect(state.heard).toBe(0);
  });

  const anySample = fc.record({
    at: fc.integer({ min: 0, max: 200 }).map((n) => n * 30_000),
    value: fc.oneof(
      fc.double({ min: 24, max: 27, noNaN: true }),
      fc.double({ min: -10, max: 60, noNaN: true }),
    ),
  });

  it('gives the same however the values are cut into messages', () => {
    fc.assert(
      fc.property(fc.array(anySample, { maxLength: 60 }), fc.integer({ min: 0, max: 60 }), (samples, cut) => {
        const whole = run(samples);
        const first = run(samples.slice(0, cut));
        const second = run(samples.slice(cut), first.state);
        expect([...first.written, ...second.written]).toEqual(whole.written);
        expect([...first.aside, ...second.aside]).toEqual(whole.aside);
        expect(second.state).toEqual(whole.state);
      }),
      { seed: 20260306, numRuns: 300 },
    );
  });

  it('loses no value: each is written, thinned, waits to be confirmed, or is kept apart, and none twice', () => {
    fc.assert(
      fc.property(fc.array(anySample, { maxLength: 60 }), (samples) => {
        const { written, aside, state } = run(samples);
        expect(written.length + aside.length + (state.held === null ? 0 : 1)).toBeLessThanOrEqual(
          samples.length,
        );
        expect(new Set(written.map(({ at }) => at)).size).toBe(written.length);
        for (const { value } of written) {
          expect(value).toBeGreaterThanOrEqual(settings.low);
          expect(samples.some((sample) => sample.value === value)).toBe(true);
        }
        for (const [i, { at }] of written.entries())
          if (i > 0) expect(at).toBeGreaterThan(written[i - 1]?.at ?? 0);
      }),
      { seed: 20260307, numRuns: 300 },
    );
  });

  it('makes some forty entries of a day of a probe that sends every ten seconds', () => {
    // A heater that cycles by 0.3 °C over two hours, with 0.03 °C of noise.
    const day = Array.from({ length: 8640 }, (_, i) => {
      const cycle = 0.3 * Math.sin((2 * Math.PI * i) / 720);
      return { at: i * 10_000, value: 25 + cycle + 0.03 * Math.sin(i * 12.9898) };
    });
    const count = run(day).written.length;
    expect(count).toBeGreaterThan(20);
    expect(count).toBeLessThan(60);
  });
});
