import { checkEntry, type Problem } from '@brinewright/journal';
import { describe, expect, it } from 'vitest';
import { id, instant, TANK } from './support/build.ts';

const base = { id: id(1), tank: TANK, at: instant(0) };
const problems = (kind: string, body: unknown, more: object = {}): readonly Problem[] => {
  const checked = checkEntry({ ...base, kind, body, ...more });
  return checked.ok ? [] : checked.problems;
};
const found = (kind: string, body: unknown) => problems(kind, body).map(({ code, path }) => [code, path]);

describe('a sound entry of each kind', () => {
  it.each([
    ['tank', {}],
    [
      'tank',
      {
        name: 'Tide room 3',
        litres: { value: 2.5, sd: 0 },
        salinity: 0,
        opened: '2026-03-01T08:00:00+01:00',
      },
    ],
    [
      'tank',
      { surfaces: [{ material: 'live-rock', kg: 12 }, { material: 'sand' }], route: 'animals+culture' },
    ],
    [
      'kit',
      { kit: 'drops', analyte: 'nitrite', as: 'NO2', steps: [0, 0.25, 0.5], resolution: 0.25, note: 'new' },
    ],
    ['kit', { kit: 'probe', analyte: 'pH' }],
    ['reading', { analyte: 'ammonia', as: 'NH4', value: 0 }],
    ['reading', { analyte: 'nitrate', as: 'NO3', between: [5, 5], kit: 'drops', dilution: 5 }],
    ['reading', { analyte: 'nitrite', as: 'N', over: 1.5 }],
    ['reading', { analyte: 'temperature', under: 0 }],
    ['dose', { substance: 'ammonium-chloride' }],
    ['dose', { substance: 'ammonium-chloride', nitrogenMg: 0 }],
    ['dose', { substance: 'ammonia-solution', aim: { analyte: 'ammonia', as: 'NH3', to: 2.5 } }],
    ['dose', { substance: 'ammonia-solution', aim: { analyte: 'ammonia', as: 'N', by: 1 } }],
    ['dose', { substance: 'ammonia-solution', millilitres: 2.5, strength: { mgNPerMl: 10 } }],
    ['dose', { substance: 'ammonia-solution', millilitres: 0.85 }],
    ['dose', { substance: 'bicarbonate', aim: { analyte: 'alkalinity', to: 2.5 } }],
    ['culture', { source: 'bottled', litresTreated: 200, note: 'half the bottle' }],
    ['food', { what: 'fresh-tissue', grams: 2.5, protein: 0, dry: 1 }],
    ['exchange', {}],
    [
      'exchange',
      { fraction: 0.3, salinity: 35, temperatureC: 25, alkalinityMeqL: 2.4, nitrateMgL: 1, nitrateAs: 'N' },
    ],
    ['exchange', { litres: 15 }],
    ['topoff', { litres: 0 }],
    ['arrival', { animals: [{ class: 'goby_typical', count: 2, lengthCm: 4 }] }],
    ['loss', { animals: [{ class: 'fish', count: 1, massG: 3.5 }] }],
    ['posture', { item: 'skimmer', state: 'off' }],
    ['note', { text: '' }],
    ['amend', { of: id(9), body: { value: 2 }, at: instant(1) }],
    ['strike', { of: id(9) }],
    ['strike', { of: id(9), why: 'wrong tank' }],
    ['barometer', { hPa: 1013 }],
  ])('%s %j', (kind, body) => {
    expect(problems(kind, body)).toEqual([]);
  });
});

describe('a faulty body', () => {
  it.each([
    ['tank', { litres: { value: 0, sd: 1 } }, 'out-of-range', 'body.litres.value'],
    ['tank', { litres: { value: 100, sd: -1 } }, 'out-of-range', 'body.litres.sd'],
    ['tank', { litres: 100 }, 'wrong-type', 'body.litres'],
    ['tank', { temperatureC: 77 }, 'out-of-range', 'body.temperatureC'],
    ['tank', { opened: '2026-03-01' }, 'not-an-instant', 'body.opened'],
    ['tank', { route: 'salt + culture' }, 'not-listed', 'body.route'],
    ['tank', { surfaces: [{ material: 'wood' }] }, 'not-listed', 'body.surfaces[0].material'],
    ['kit', { kit: 'drops', analyte: 'nitrite', as: 'NO3' }, 'wrong-ion', 'body.as'],
    ['kit', { kit: 'drops', analyte: 'pH', as: 'N' }, 'wrong-ion', 'body.as'],
    ['kit', { kit: '', analyte: 'pH' }, 'missing', 'body.kit'],
    ['kit', { kit: 'drops', analyte: 'pH', steps: [7, 8, 7.5] }, 'order', 'body.steps[2]'],
    ['kit', { kit: 'drops', analyte: 'nitrite', as: 'N', steps: [-1, 0] }, 'out-of-range', 'body.steps[0]'],
    ['kit', { kit: 'drops', analyte: 'pH', resolution: 0 }, 'out-of-range', 'body.resolution'],
    ['reading', { analyte: 'ammonia', as: 'NO3', value: 1 }, 'wrong-ion', 'body.as'],
    ['reading', { analyte: 'nitrate', as: 'NO2', value: 1 }, 'wrong-ion', 'body.as'],
    ['reading', { analyte: 'ammonia', value: 1 }, 'missing', 'body.as'],
    ['reading', { analyte: 'ammonia', as: 'N', value: -0.1 }, 'out-of-range', 'body.value'],
    ['reading', { analyte: 'ammonia', as: 'N' }, 'missing', 'body'],
    ['reading', { analyte: 'ammonia', as: 'N', value: 1, over: 1 }, 'ambiguous', 'body.over'],
    ['reading', { analyte: 'ammonia', as: 'N', between: [2, 1] }, 'order', 'body.between'],
    ['reading', { analyte: 'ammonia', as: 'N', between: [-1, 1] }, 'out-of-range', 'body.between[0]'],
    ['reading', { analyte: 'ammonia', as: 'N', value: '0.5' }, 'wrong-type', 'body.value'],
    ['reading', { analyte: 'ammonia', as: 'N', value: null }, 'wrong-type', 'body.value'],
    ['reading', { analyte: 'ammonia', as: 'N', value: 1, dilution: 0.5 }, 'out-of-range', 'body.dilution'],
    ['reading', { analyte: 'chlorine', value: 1 }, 'not-listed', 'body.analyte'],
    ['reading', { analyte: 'salinity', value: 1026 }, 'out-of-range', 'body.value'],
    ['reading', { analyte: 'pH', value: 82 }, 'out-of-range', 'body.value'],
    ['dose', { substance: 'ammonium-chloride', nitrogenMg: -2 }, 'out-of-range', 'body.nitrogenMg'],
    ['dose', { substance: 'ammonium-chloride', grams: 1, nitrogenMg: 2 }, 'ambiguous', 'body.grams'],
    ['dose', { substance: 'ammonia-solution', aim: { analyte: 'ammonia', as: 'N' } }, 'missing', 'body.aim'],
    [
      'dose',
      { substance: 'ammonia-solution', aim: { analyte: 'ammonia', as: 'NO2', to: 1 } },
      'wrong-ion',
      'body.aim.as',
    ],
    ['dose', { substance: 'ammonia-solution', millilitres: 1, strength: {} }, 'missing', 'body.strength'],
    ['dose', {}, 'missing', 'body.substance'],
    ['food', { what: 'flake', protein: 48 }, 'out-of-range', 'body.protein'],
    ['exchange', { fraction: 20 }, 'out-of-range', 'body.fraction'],
    ['exchange', { fraction: 0.2, litres: 20 }, 'ambiguous', 'body.fraction'],
    ['topoff', {}, 'missing', 'body.litres'],
    ['arrival', { animals: [] }, 'missing', 'body.animals'],
    ['arrival', { animals: [{ class: 'fish', count: -1 }] }, 'out-of-range', 'body.animals[0].count'],
    ['arrival', { animals: [{ class: 'fish', count: 1.5 }] }, 'wrong-type', 'body.animals[0].count'],
    ['posture', { item: 'skimmer', state: 'maybe' }, 'not-listed', 'body.state'],
    ['note', {}, 'missing', 'body.text'],
    ['amend', { of: 'the last one', body: {} }, 'not-an-id', 'body.of'],
    ['strike', {}, 'missing', 'body.of'],
  ])('%s %j: %s at %s', (kind, body, code, path) => {
    expect(found(kind, body)).toEqual([[code, path]]);
  });

  it('says every fault of one entry at once', () => {
    expect(found('reading', { analyte: 'ammonia', value: -1, dilution: 0 })).toEqual([
      ['out-of-range', 'body.dilution'],
      ['missing', 'body.as'],
      ['out-of-range', 'body.value'],
    ]);
  });

  it('says what was found and what to do', () => {
    const [zero] = problems('tank', { litres: { value: 0, sd: 1 } });
    expect(zero?.message).toBe('must be more than 0; found 0');
    const [quoted] = problems('topoff', { litres: '2.5' });
    expect(quoted?.message).toBe('should be a number; found "2.5"');
    expect(quoted?.remedy).toBe('Write the number without quotes: 2.5.');
    const [ion] = problems('reading', { analyte: 'nitrite', as: 'NO3', value: 1 });
    expect(ion?.message).toBe('nitrite cannot be counted as NO3');
    expect(ion?.remedy).toBe('Use one of N, NO2, or correct the analyte.');
  });
});

describe('what every entry carries', () => {
  it.each([
    [{ id: '7' }, 'not-an-id', 'id'],
    [{ tank: undefined }, 'missing', 'tank'],
    [{ at: 'noon' }, 'not-an-instant', 'at'],
    [{ at: 1740852000 }, 'wrong-type', 'at'],
    [{ recorded: '2026-03-01T08:00' }, 'not-an-instant', 'recorded'],
    [{ by: '' }, 'missing', 'by'],
    [{ kind: undefined }, 'missing', 'kind'],
    [{ body: 'clear' }, 'wrong-type', 'body'],
    [{ body: undefined }, 'missing', 'body'],
  ])('%j: %s at %s', (more, code, path) => {
    expect(problems('note', { text: '' }, more).map((problem) => [problem.code, problem.path])).toEqual([
      [code, path],
    ]);
  });

  it.each([null, 7, 'note', [], true])('%j is no entry at all', (data) => {
    const checked = checkEntry(data);
    expect(checked.ok).toBe(false);
  });

  it('keeps fields it does not know, at every depth', () => {
    const data = {
      ...base,
      kind: 'tank',
      body: { room: 'tide', litres: { value: 90, sd: 5, measured: true } },
      device: 'bench',
    };
    expect(checkEntry(data)).toEqual({ ok: true, entry: data });
  });

  it('compares ids in lower case', () => {
    const data = { ...base, id: base.id.toUpperCase(), kind: 'strike', body: { of: id(9).toUpperCase() } };
    expect(checkEntry(data)).toEqual({ ok: true, entry: { ...base, kind: 'strike', body: { of: id(9) } } });
  });

  it('refuses nesting that could exhaust the stack', () => {
    const deep = JSON.parse(`${'[['.repeat(5000)}${']]'.repeat(5000)}`);
    expect(problems('note', { text: '', deep }).map(({ code }) => code)).toEqual(['too-deep']);
  });
});
