import { mixingTools, parseQuantity, type Tool, toolOf } from '@brinewright/counsel';
import { type Entry, foldTank, type TankId } from '@brinewright/journal';
import { render } from 'preact-render-to-string';
import { beforeEach, describe, expect, it, vi } from 'vitest';

vi.hoisted(() => vi.stubGlobal('navigator', { language: 'en-GB' }));

const { Answer } = await import('../src/mixing/answer.tsx');
const { sayGist, sayNumber, sayTable, sayText } = await import('../src/mixing/figures.ts');
const { toolsFor } = await import('../src/mixing/find.ts');
const { sayGiven } = await import('../src/mixing/given.ts');
const { knownOf } = await import('../src/mixing/known.ts');
const { groupsOf, fieldsThatMatter, mayBeLeftOut } = await import('../src/mixing/layout.ts');
const { askedOf, sheetOf, textsOf } = await import('../src/mixing/sheet.ts');
const { draftOf, mind, minded, putBack, queryOf, replaceDraft, takeIn } = await import(
  '../src/mixing/state.ts'
);
const { habits, inUnit, unitsOf, usualUnit } = await import('../src/mixing/units.ts');
const { asItStands, laidOut, refuseAmbiguous, textOf } = await import('../src/mixing/written.ts');
const { datesIn } = await import('../src/format/dates.ts');

const nowhere = { tank: undefined, known: {} };
const tool = (id: string): Tool => toolOf(id)!;
const typed = (number: string, unit: string, error = '') => ({ number, unit, error });
const asked = mixingTools.flatMap((each) =>
  Object.keys(each.fields).flatMap((id) => askedOf(each, id) ?? []),
);

beforeEach(() => {
  habits.value = {};
  minded.value = new Set();
});

describe('a number as it is typed', () => {
  const litre = { key: 'L', says: 'L', label: 'L' };
  it.each([
    ['200', '', '200 L'],
    ['21,5', '', '21.5 L'],
    ['1 200', '', '1200 L'],
    [' ,5', '', '.5 L'],
    ['200', '10', '200 ± 10 L'],
    ['200 ± 10', '', '200 ± 10 L'],
    ['2e-3', '', '2e-3 L'],
    ['55 US gal', '', '55 US gal'],
    ['55 US gal', '2', '55 ± 2 US gal'],
    ['two hundred', '2', 'two hundred ± 2'],
    ['', '5', ''],
  ])('%j with %j is read as %j', (number, error, text) => {
    expect(textOf({ number, error, unit: 'L' }, litre)).toBe(text);
  });

  it('is refused where a comma can be read in two ways, and only there', () => {
    expect(() => refuseAmbiguous('now', typed('1,200', 'mg/L'))).toThrow(
      'now: "1,200" can be read in two ways. Write 1200 or 1.200.',
    );
    for (const fine of ['1,2', '0,125', '1200', '12,5000', '1.200'])
      expect(() => refuseAmbiguous('now', typed(fine, 'mg/L'))).not.toThrow();
  });

  it('moves a unit typed after it to where units stand', () => {
    const litres = askedOf(tool('raise-salinity'), 'litres')!;
    expect(asItStands(litres, '55 ± 2 US gal')).toEqual(typed('55', 'US gal', '2'));
    expect(asItStands(litres, '3 hogsheads')).toBeUndefined();
    const nitrate = askedOf(tool('water-changes'), 'nitrate')!;
    expect(asItStands(nitrate, '20 ppm NO3')).toEqual(typed('20', 'mg/L NO3'));
  });
});

describe('units', () => {
  it('are all understood by the tools, and back again', () => {
    for (const each of asked)
      for (const unit of unitsOf(each)) {
        const { kind } = each.field;
        const canonical = kind === 'specificGravity' ? 1.02 : kind === 'fraction' ? 0.4 : 30;
        const shown = inUnit(kind, canonical, unit);
        const { value } = parseQuantity(each.id, kind, `${shown} ${unit.says}`);
        expect(value, `${each.tool.id} ${each.id} ${unit.key}`).toBeCloseTo(canonical, 8);
      }
  });

  it('show a preset in any unit, within what its digits can say', () => {
    for (const each of asked) {
      const { preset, kind, bareUnit } = each.field;
      // A zero is left to be typed over.
      if (preset === undefined || preset === '0') continue;
      const { value } = parseQuantity(each.id, kind, preset, bareUnit);
      for (const unit of unitsOf(each)) {
        const written = laidOut(each, preset, unit);
        const shown = unitsOf(each).find(({ key }) => key === written.unit)!;
        const back = parseQuantity(each.id, kind, textOf(written, shown), bareUnit).value;
        expect(Math.abs(back - value)).toBeLessThanOrEqual(5e-4 * Math.max(1, Math.abs(value)));
      }
    }
  });

  it('put salinity 35 at 1.02637 on the scale 25/25', () => {
    const field = askedOf(tool('new-batch'), 'salinity')!;
    const unit = unitsOf(field).find(({ key }) => key === 'SG at 25/25')!;
    expect(laidOut(field, '35', unit)).toEqual(typed('1.02637', 'SG at 25/25'));
  });

  it('offer only what a kit may count', () => {
    const keys = (id: string, field: string) => unitsOf(askedOf(tool(id), field)!).map(({ key }) => key);
    expect(keys('water-changes', 'target')).toEqual(['mg/L NO3', 'mg/L N']);
    expect(keys('ammonia-from-salt', 'target')).toEqual(['mg/L N', 'mg/L NH4', 'mg/L NH3']);
    expect(keys('volume-by-dose', 'after')).toHaveLength(5);
  });
});

describe('the fields of a tool', () => {
  it.each(mixingTools.map((each) => [each.id, each] as const))('%s: each stands in one place', (_, each) => {
    const ids = Object.keys(each.fields);
    const groups = groupsOf(each, ids);
    expect(groups.flatMap(({ asked: first, folded }) => [...first, ...folded]).sort()).toEqual(ids.sort());
    for (const id of groups.flatMap(({ folded }) => folded)) {
      const field = each.fields[id]!;
      expect(mayBeLeftOut(field) || field.preset !== undefined).toBe(true);
    }
  });

  it('that a choice makes idle are neither shown nor reckoned with', () => {
    expect(fieldsThatMatter(tool('tank-volume'), { shape: 'cylinder' })).not.toContain('width');
    const draft = {
      shape: 'hexagon',
      length: typed('60', 'cm'),
      waterHeight: typed('50', 'cm'),
      width: typed('nonsense', 'cm'),
    };
    expect(sheetOf(tool('tank-volume'), draft, nowhere).answer?.results[0]?.value).toBeGreaterThan(100);
  });

  it('blend two waters under two names', () => {
    const [first, second] = groupsOf(tool('blend-waters'), Object.keys(tool('blend-waters').fields));
    expect([first?.title, second?.title]).toEqual(['First water', 'Second water']);
    expect(second?.asked).toEqual(['otherLitres', 'otherSalinity', 'otherTemperature']);
  });
});

describe('a sheet', () => {
  it('says everything that is wrong at once, and clears nothing', () => {
    const draft = { litres: typed('two hundred', 'L'), from: typed('33', 'ppt'), to: typed('1,035', 'ppt') };
    const sheet = sheetOf(tool('raise-salinity'), draft, nowhere);
    const faults = Object.fromEntries(sheet.fields.map(({ id, fault }) => [id, fault?.problem]));
    expect(faults.litres).toBe('"two hundred" is not a number');
    expect(faults.to).toBe('"1,035" can be read in two ways');
    expect(faults.from).toBeUndefined();
    expect(sheet.answer).toBeUndefined();
    expect(sheet.fields.find(({ id }) => id === 'litres')?.written).toEqual(draft.litres);
  });

  it('puts a fault the tool finds beside its field', () => {
    const draft = { litres: typed('200', 'L'), from: typed('35', 'ppt'), to: typed('33', 'ppt') };
    const { fields } = sheetOf(tool('raise-salinity'), draft, nowhere);
    expect(fields.filter(({ fault }) => fault !== undefined)).toHaveLength(1);
  });

  it('names what is still missing', () => {
    expect(sayGist(sheetOf(tool('raise-salinity'), {}, nowhere))).toBe(
      'Still to fill in: water in the system, salinity now, and salinity wanted.',
    );
  });

  it('reckons with what was never touched as it was written, not as it is shown', () => {
    const draft = { litres: typed('100', 'L') };
    const salt = () => sheetOf(tool('new-batch'), draft, nowhere).answer?.results[0]?.value;
    const before = salt();
    habits.value = { salinity: 'SG at 20/4', temperature: '°F' };
    expect(salt()).toBe(before);
    const shown = sheetOf(tool('new-batch'), draft, nowhere).fields.find(({ id }) => id === 'salinity');
    expect(shown?.written).toEqual(typed('1.02479', 'SG at 20/4'));
  });

  it('takes a bottle of NH3 for ammonia itself, so that its alkalinity and its caution are not missed', () => {
    const draft = { litres: typed('200', 'L'), strength: typed('10', '% NH3') };
    const { fields, answer } = sheetOf(tool('ammonia-from-bottle'), draft, nowhere);
    expect(textsOf(fields).dissolved).toBe('NH3');
    expect(answer?.cautions.map(({ id }) => id)).toContain('CAU-A1');
    const chloride = { ...draft, strength: typed('30', 'g/L NH4Cl') };
    expect(textsOf(sheetOf(tool('ammonia-from-bottle'), chloride, nowhere).fields).dissolved).toBe('NH4Cl');
  });
});

const TANK = '0197c000-0000-7000-8000-0000000000d1' as TankId;
const entry = (n: number, kind: string, body: object): Entry =>
  ({
    id: `0197c000-000${n}-7000-8000-0000000000d2`,
    tank: TANK,
    at: `2026-10-0${n}T09:00:00+00:00`,
    kind,
    body,
  }) as Entry;
const facts = foldTank(
  [
    entry(1, 'tank', { name: 'Gully', litres: { value: 90, sd: 9 }, salinity: 34, temperatureC: 24 }),
    entry(2, 'kit', { kit: 'card', analyte: 'ammonia', as: 'NH4', steps: [0, 1, 2] }),
    entry(3, 'reading', { analyte: 'salinity', value: 36.5 }),
    entry(4, 'reading', { analyte: 'salinity', between: [30, 40] }),
    entry(5, 'tank', { temperatureC: 26 }),
  ],
  TANK,
);

describe('a tank in hand', () => {
  const known = knownOf(facts, datesIn('en-GB', 'UTC'));

  it('fills in the newest it knows, with where it comes from', () => {
    expect(known).toEqual({
      litres: { text: '90 ± 9', from: 'from its journal' },
      salinity: { text: '36.5', from: 'read 3 Oct' },
      temperature: { text: '26', from: 'from its journal' },
    });
    const { fields } = sheetOf(tool('lower-salinity'), {}, { tank: facts, known });
    expect(textsOf(fields)).toEqual({ litres: '90 ± 9', from: '36.5', temperature: '26' });
  });

  it('gives way to what is typed', () => {
    const draft = { from: typed('37', 'ppt') };
    const { fields } = sheetOf(tool('lower-salinity'), draft, { tank: facts, known });
    expect(textsOf(fields).from).toBe('37');
  });

  it('reads ammonia as its own kit counts it, until the reader says otherwise', () => {
    const field = askedOf(tool('ammonia-from-salt'), 'now')!;
    expect(usualUnit(field, facts).key).toBe('mg/L NH4');
    expect(usualUnit(field, undefined).key).toBe('mg/L N');
  });
});

describe('what was given', () => {
  it('is said with its unit and in full', () => {
    const draft = { litres: typed('200', 'US gal', '5'), buffer: 'carbonate' };
    const { fields } = sheetOf(tool('raise-alkalinity'), draft, nowhere);
    const said = fields.map((field) => sayGiven(tool('raise-alkalinity'), field).replaceAll('\u00a0', ' '));
    expect(said.slice(0, 7)).toEqual([
      '200 ± 5 US gal',
      '',
      '',
      'Sodium carbonate, Na₂CO₃',
      '1',
      '35 ppt',
      '25 °C',
    ]);
  });
});

describe('a link', () => {
  it('fills a sheet so that the answer is the same', () => {
    const draft = {
      litres: typed('200', 'US gal', '10'),
      nitrate: typed('80', 'mg/L NO3'),
      target: typed('20', 'mg/L NO3'),
      changes: typed('3', ''),
      newSalinity: typed('1.0264', 'SG at 25/25'),
      hydration: typed('1.06', ''),
    };
    const before = sheetOf(tool('water-changes'), draft, nowhere);
    takeIn(tool('water-changes'), `?${queryOf(before.fields)}`);
    const after = sheetOf(tool('water-changes'), draftOf('water-changes').value, nowhere);
    expect(after.answer).toEqual(before.answer);
    expect(before.answer?.results.length).toBeGreaterThan(2);
  });

  it('never throws away what stood in the sheet', () => {
    replaceDraft('new-batch', { litres: typed('70', 'L') }, 'emptied');
    takeIn(tool('new-batch'), '?litres=25+L&nonsense=1');
    expect(draftOf('new-batch').value).toEqual({ litres: typed('25', 'L') });
    putBack('new-batch');
    expect(draftOf('new-batch').value).toEqual({ litres: typed('70', 'L') });
  });

  it('leaves a share without a percent sign the share it is', () => {
    takeIn(tool('warm-new-water'), '?share=0.2');
    expect(draftOf('warm-new-water').value).toEqual({ share: typed('20', '%') });
  });
});

describe('finding', () => {
  it.each([
    ['evaporated', 'replace-evaporation'],
    ['top off', 'replace-evaporation'],
    ['refractometer', 'refractometer'],
    ['nitrate', 'water-changes'],
    ['dkh', 'raise-alkalinity'],
    ['baking soda', 'raise-alkalinity'],
    ['salt batch', 'new-batch'],
    ['bow', 'tank-volume'],
    ['swing arm', 'hydrometer'],
    ['calibrate my salt', 'calibrate-salt'],
    ['Bottle drops', 'ammonia-from-bottle'],
    ['warm', 'warm-new-water'],
    ['blending waters', 'blend-waters'],
  ])('%j finds %s', (word, id) => {
    expect(toolsFor(word).map((each) => each.id)).toContain(id);
  });

  it('puts what its title names first, and finds nothing for nonsense', () => {
    expect(toolsFor('nitrate')[0]?.id).toBe('water-changes');
    expect(toolsFor('xylophone')).toEqual([]);
    expect(toolsFor('')).toHaveLength(mixingTools.length);
  });
});

describe('numbers of an answer', () => {
  it('have their error, their unit, and no idle zero', () => {
    const said = (value: number, sd: number, unit: string) =>
      sayNumber({ value, sd, unit }).replaceAll('\u00a0', ' ');
    expect(said(204.32, 6.1, 'L')).toBe('204.3 ± 6.1 L');
    expect(said(50, 0, '%')).toBe('50 %');
    expect(said(0.1428, 0, 'meq/L')).toBe('0.1428 meq/L');
    expect(said(1200, 0, 'g')).toBe('1200 g');
    expect(said(-1e-13, 0.5, '')).toBe('0.00 ± 0.50');
    habits.value = { volume: 'UK gal', temperature: '°F' };
    expect(said(4.54609, 0, 'L')).toBe('1 UK gal');
    expect(said(25, 0, '°C')).toBe('77 °F');
  });

  it('stand in rows with as many decimals as their column needs', () => {
    const { heads, cells } = sayTable({
      title: 'After',
      columns: [
        { title: 'Change', unit: '', digits: 1 },
        { title: 'Nitrate', unit: 'mg/L as NO3' },
      ],
      rows: [
        [0, 80],
        [1, 40.5],
      ],
    });
    expect(heads).toEqual(['Change', 'Nitrate, mg/L as NO₃']);
    expect(cells).toEqual([
      ['0', '80.0'],
      ['1', '40.5'],
    ]);
  });

  it('have their formulas as chemists print them', () => {
    expect(sayText('CaCl2·2H2O a day')).toBe('CaCl₂·2H₂O a day');
    expect(sayText('NH4Cl to weigh')).toBe('NH₄Cl to weigh');
    expect(sayText('specific gravity 60/60F, MP81')).toBe('specific gravity 60/60F, MP81');
  });
});

describe('the answer on the page', () => {
  const bottle = () =>
    sheetOf(
      tool('ammonia-from-bottle'),
      { litres: typed('200', 'L'), strength: typed('10', '% NH3') },
      nowhere,
    );

  it('keeps an amount back until its critical cautions were read', () => {
    const page = () => render(<Answer sheet={bottle()}>{() => <p>write</p>}</Answer>);
    expect(page()).toContain('choking gas');
    expect(page()).not.toContain('4.864');
    expect(page()).not.toContain('write');
    expect(sayGist(bottle())).toBe('Read the caution first.');
    mind(['CAU-A1', 'CAU-A2']);
    expect(page()).toContain('4.864\u00a0mL');
    expect(page()).toContain('choking gas');
    expect(page()).toContain('write');
  });

  it.each(mixingTools.map((each) => [each.id]))('%s shows every step with its source', (id) => {
    const draft = Object.fromEntries(Object.entries(sheets[id] ?? {}).map(([field, text]) => [field, text]));
    takeIn(tool(id), `?${new URLSearchParams(draft)}`);
    const sheet = sheetOf(tool(id), draftOf(id).value, nowhere);
    mind(['CAU-A1', 'CAU-A2']);
    const page = render(<Answer sheet={sheet}>{() => null}</Answer>);
    expect(sheet.answer).toBeDefined();
    for (const { source } of sheet.answer!.working) expect(page).toContain(source.replaceAll('&', '&amp;'));
    for (const { deferTo } of sheet.answer!.cautions) if (deferTo !== '-') expect(page).toContain(deferTo);
  });
});

/** One filled-in sheet for each tool. */
const sheets: Readonly<Record<string, Record<string, string>>> = {
  'tank-volume': { length: '120', width: '50', waterHeight: '45', rock: '20', sand: '15' },
  'sump-volume': { length: '60', width: '40', runningHeight: '20', rimHeight: '38' },
  'volume-by-dose': { dose: '1.53 g NH4Cl', before: '0 N', after: '2 ± 0.2 N' },
  'volume-by-salt': { salt: '500 g', before: '33 ± 0.1', after: '35 ± 0.1' },
  'new-batch': { litres: '100' },
  'calibrate-salt': { salt: '3.9 kg', water: '100', salinity: '35.2 ± 0.2' },
  'raise-salinity': { litres: '200 ± 10', from: '33', to: '35' },
  'lower-salinity': { litres: '200 ± 10', from: '37', to: '35' },
  'replace-evaporation': { litres: '190', now: '36.8' },
  'blend-waters': { litres: '100', otherLitres: '20', nitrate: '20 NO3', otherNitrate: '0 NO3' },
  'water-changes': { litres: '200', nitrate: '80 NO3', target: '20 NO3', changes: '2' },
  'warm-new-water': { litres: '200', share: '20 %', tank: '24', wanted: '25' },
  'running-exchange': { litres: '200', nitrate: '80 NO3', target: '20 NO3' },
  'one-water': { temperature: '25', salinity: '35', ph: '8.1', alkalinity: '2.4', ammonia: '1 N' },
  hydrometer: { reading: '1.0245', scale: '60/60F' },
  refractometer: { reading: '35', compensated: 'no' },
  conductivity: { reading: '53' },
  'ammonia-from-salt': { litres: '200 ± 10' },
  'ammonia-from-bottle': { litres: '200', strength: '10 % NH3' },
  'dose-check': { dose: '400', litres: '200', before: '0 N', after: '1.2 ± 0.1 N' },
  'nitrogen-ions': { amount: '2 NH4' },
  'raise-alkalinity': { litres: '200', now: '6 dKH', target: '8 dKH', buffer: 'hydroxide' },
  'raise-calcium': { litres: '200', now: '380', target: '420' },
  'raise-magnesium': { litres: '200', now: '1200', target: '1300' },
};
