import {
  checked,
  freeAmmoniaFraction,
  propagate,
  rangeOf,
  relations,
  salinityFromConductivity,
  sayOutOfRange,
} from '@brinewright/seawater';
import { describe, expect, it } from 'vitest';

describe('propagating errors', () => {
  it('adds independent errors in quadrature and tells each share', () => {
    const area = propagate(({ x, y }) => x * y, { x: { value: 2, sd: 0.1 }, y: { value: 3, sd: 0.1 } });
    expect(area.value).toBe(6);
    expect(area.sd).toBeCloseTo(Math.hypot(0.3, 0.2), 9);
    expect(area.shares.x).toBeCloseTo(0.3, 9);
    expect(area.shares.y).toBeCloseTo(0.2, 9);
  });
  it('a pH error of 0.05 changes free ammonia by about 11 %, 0.1 by 22 %', () => {
    const at = (sd: number) =>
      propagate(({ pH }) => freeAmmoniaFraction({ pH, pHScale: 'total', salinity: 35, temperatureC: 25 }), {
        pH: { value: 8.1, sd },
      });
    expect(at(0.05).sd / at(0.05).value).toBeCloseTo(0.107, 2);
    expect(at(0.1).sd / at(0.1).value).toBeCloseTo(0.215, 2);
  });
  it('gives no error where none goes in', () => {
    expect(propagate(({ x }) => x ** 2, { x: { value: 3, sd: 0 } }).sd).toBe(0);
  });
  it('uses one side where the other is outside the domain', () => {
    const edge = propagate(({ c }) => salinityFromConductivity(c, 25), { c: { value: 0, sd: 0.1 } });
    expect(edge.sd).toBeGreaterThan(0);
    expect(Number.isFinite(edge.sd)).toBe(true);
  });
});

describe('ranges', () => {
  it('says nothing where every relation holds', () => {
    expect(rangeOf('carbonate-system', { salinity: 35, temperatureC: 25 })).toEqual([]);
  });
  it('tells an input that is itself outside from one inherited', () => {
    const own = rangeOf('ph-nbs', { salinity: 3, temperatureC: 25 });
    expect(own.map(({ relation, inherited }) => [relation, inherited])).toEqual([
      ['ph-nbs', false],
      ['bisulfate-D90a', true],
    ]);
  });
  it('is inherited by what is built on a relation', () => {
    const notes = rangeOf('carbonate-system', { salinity: 12, temperatureC: 25 });
    expect(notes).toHaveLength(1);
    expect(notes[0]).toMatchObject({ relation: 'carbonic-L00', inherited: true, low: 19, high: 43 });
    expect(sayOutOfRange(notes[0]!)).toBe(
      'salinity 12 lies outside 19–43, where dissociation of carbonic acid [L00] holds',
    );
  });
  it('tells each limit once when several relations share it', () => {
    const { value, outside } = checked(7, ['density', 'specific-gravity', 'hydrometer'], { salinity: 44 });
    expect(value).toBe(7);
    expect(outside).toHaveLength(1);
    expect(outside[0]).toMatchObject({ relation: 'density', inherited: false });
  });
  it('every relation is built only on relations that exist', () => {
    for (const relation of Object.values(relations))
      for (const below of 'builtOn' in relation ? relation.builtOn : [])
        expect(relations).toHaveProperty(below);
  });
});
