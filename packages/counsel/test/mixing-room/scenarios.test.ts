import { mixingTools, toolOf, type Worked } from '@brinewright/counsel';
import { describe, expect, it } from 'vitest';

/** The answer of a tool to what a person wrote. */
const ask = (id: string, texts: Record<string, string>): Worked => toolOf(id)!.answer(texts);

const number = (answer: Worked, name: string): number => {
  const found = answer.results.find((result) => result.name === name);
  if (!found)
    throw new Error(`no result "${name}" among ${answer.results.map((each) => each.name).join(', ')}`);
  return found.value;
};

const error = (answer: Worked, name: string): number => answer.results.find((each) => each.name === name)!.sd;

const cautionIds = (answer: Worked): string[] => answer.cautions.map(({ id }) => id);

describe('filling the first teaching tank of a field station', () => {
  it('a 120 × 50 × 45 cm tank with rock and sand holds some 245 L, not its nominal 270', () => {
    const answer = ask('tank-volume', {
      length: '120 cm',
      width: '50 cm',
      waterHeight: '45.7 cm',
      rock: '20',
      sand: '15 kg',
    });
    expect(number(answer, 'net')).toBeCloseTo(118 * 48 * 0.0457 - 20 * 0.42 - 15 * 0.37, 1);
    expect(error(answer, 'net')).toBeGreaterThan(1.5);
    expect(answer.entries).toMatchObject([
      { kind: 'tank', body: { litres: { value: expect.closeTo(244.9, 0) } } },
    ]);
  });
  it('round, bow-fronted, six-sided and corner tanks have the area of their geometry', () => {
    const litres = (shape: string, more: Record<string, string>) =>
      number(ask('tank-volume', { shape, glass: '0', waterHeight: '50', ...more }), 'net');
    expect(litres('cylinder', { length: '40' })).toBeCloseTo(Math.PI * 400 * 0.05, 6);
    expect(litres('hexagon', { length: '40' })).toBeCloseTo((Math.sqrt(3) / 2) * 1600 * 0.05, 6);
    expect(litres('quarter-round', { length: '60' })).toBeCloseTo((Math.PI * 3600 * 0.05) / 4, 6);
    expect(litres('bow-front', { length: '80', width: '40', bow: '0' })).toBeCloseTo(80 * 40 * 0.05, 6);
    // A bow as deep as half the length is a half circle.
    expect(litres('bow-front', { length: '80', width: '40', bow: '40' })).toBeCloseTo(
      (80 * 40 + (Math.PI * 1600) / 2) * 0.05,
      6,
    );
  });
  it('a heavy tank brings the question of the floor, with its own numbers', () => {
    const answer = ask('tank-volume', { length: '120', width: '45', waterHeight: '50', glass: '1.2' });
    const floor = answer.cautions.find(({ id }) => id === 'CAU-F1');
    expect(floor?.wording).toMatch(/about \d{3} kg on 0\.54 m2 = \d{3} kg\/m2/);
  });
  it('a sump that cannot hold what drains back says so', () => {
    const sump = { length: '60', width: '40', runningHeight: '25', rimHeight: '30' };
    expect(ask('sump-volume', { ...sump, drainBack: '20' }).warnings.join()).toMatch(/overflow/);
    expect(ask('sump-volume', { ...sump, drainBack: '2' }).warnings).toEqual([]);
  });
  it('a litre at salinity 35 takes 35.99 g of dry salt; an uncalibrated mix makes the batch uncertain by 5 %', () => {
    expect(number(ask('new-batch', { litres: '1', hydration: '1' }), 'salt')).toBeCloseTo(35.99, 2);
    const guess = ask('new-batch', { litres: '100' });
    expect(error(guess, 'salt') / number(guess, 'salt')).toBeCloseTo(0.0463, 3);
    expect(guess.warnings.join()).toMatch(/not calibrated/);
  });
  it('one measured batch teaches the salt, and the next batch comes out right', () => {
    const learnt = ask('calibrate-salt', { salt: '3.9 kg', water: '100', salinity: '35.2 ± 0.2' });
    const h = number(learnt, 'hydration');
    const again = ask('new-batch', { litres: '100', salinity: '35.2', hydration: String(h) });
    const saltPerWater = number(again, 'salt') / number(again, 'water');
    expect(saltPerWater).toBeCloseTo(3900 / 100, 2);
    expect(again.warnings.join()).not.toMatch(/not calibrated/);
  });
  it('salt and water weighed out have the mass of the batch', () => {
    const answer = ask('new-batch', { litres: '100', hydration: '1.1', temperature: '25' });
    const mass = number(answer, 'salt') / 1000 + number(answer, 'water') * 0.997042;
    expect(mass).toBeCloseTo(102.334, 2);
  });
});

describe('keeping salinity', () => {
  it('36.8 after a week away: 10 L of fresh water, and readings before it count 0.951', () => {
    const answer = ask('replace-evaporation', { litres: '190', now: '36.8' });
    expect(number(answer, 'water')).toBeCloseTo(10.04, 1);
    expect(number(answer, 'factor')).toBeCloseTo(35 / 36.8, 9);
    expect(answer.entries[0]).toMatchObject({ kind: 'topoff' });
  });
  it('a salinity below the kept one is no evaporation', () => {
    expect(() => ask('replace-evaporation', { litres: '190', now: '34' })).toThrow(/nothing has evaporated/);
  });
  it('a rise of 2.5 is spread over three days', () => {
    const answer = ask('raise-salinity', { litres: '200', from: '32.5', to: '35', hydration: '1' });
    expect(number(answer, 'days')).toBe(3);
    expect(number(answer, 'perDay') * 3).toBeCloseTo(number(answer, 'salt'), 9);
  });
  it('200 L at 36 and 26 °C need 5.85 kg of fresh water to fall to 35', () => {
    const answer = ask('lower-salinity', { litres: '200', from: '36', to: '35', temperature: '26' });
    expect(number(answer, 'added') * 0.99678).toBeCloseTo(5.85, 2);
  });
  it('raising and lowering refuse the wrong direction', () => {
    expect(() => ask('raise-salinity', { litres: '200', from: '36', to: '35' })).toThrow(/lowers/);
    expect(() => ask('lower-salinity', { litres: '200', from: '35', to: '36' })).toThrow(/raises/);
  });
});

describe('changing water', () => {
  it('two waters blended: salinity and temperature as published, nitrate and alkalinity by mass', () => {
    const answer = ask('blend-waters', {
      litres: '100',
      otherLitres: '20',
      otherSalinity: '33',
      otherTemperature: '24',
      nitrate: '20 NO3',
      otherNitrate: '0 NO3',
      alkalinity: '2.2',
      otherAlkalinity: '2.8',
    });
    expect(number(answer, 'salinity')).toBeCloseTo(34.667, 3);
    expect(number(answer, 'temperature')).toBeCloseTo(24.83, 1);
    expect(number(answer, 'nitrateNO3')).toBeCloseTo(16.67, 2);
    expect(number(answer, 'alkalinity')).toBeCloseTo(2.3, 2);
  });
  it('pH is not a mean of two pH values', () => {
    const answer = ask('blend-waters', {
      litres: '50',
      otherLitres: '50',
      alkalinity: '2.4',
      otherAlkalinity: '2.4',
      ph: '7.6',
      otherPh: '8.4',
    });
    expect(Math.abs(number(answer, 'pH') - 8.0)).toBeGreaterThan(0.02);
  });
  it('a change that lifts the pH can raise free ammonia while total ammonia falls', () => {
    const change = {
      litres: '140',
      ammonia: '1 N',
      alkalinity: '2.3',
      ph: '7.8',
      otherLitres: '60',
      otherAmmonia: '0 N',
      otherAlkalinity: '2.5',
    };
    const lifting = ask('blend-waters', { ...change, otherPh: '8.5' });
    expect(number(lifting, 'ammonia')).toBeCloseTo(0.7, 6);
    expect(number(lifting, 'freeAfter')).toBeGreaterThan(number(lifting, 'freeBefore'));
    expect(lifting.warnings.join()).toMatch(/same pH first/);
    const matched = ask('blend-waters', { ...change, otherPh: '7.8' });
    expect(number(matched, 'freeAfter') / number(matched, 'freeBefore')).toBeCloseTo(0.7, 1);
    expect(matched.warnings).toEqual([]);
  });
  it('80 to 20 mg/L nitrate in one change takes three quarters of the water, and that is too much at once', () => {
    const answer = ask('water-changes', { litres: '200', nitrate: '80 NO3', target: '20 NO3' });
    expect(number(answer, 'share')).toBeCloseTo(75, 6);
    expect(answer.warnings.join()).toMatch(/make 2 changes or more/);
    expect(cautionIds(answer)).toContain('CAU-E4');
  });
  it('in three changes the table walks down to the target, and alkalinity up to the new water', () => {
    const answer = ask('water-changes', {
      litres: '200',
      nitrate: '80 NO3',
      target: '20 NO3',
      changes: '3',
      alkalinity: '2',
      newAlkalinity: '2.5',
    });
    const rows = answer.tables[0]!.rows;
    expect(rows).toHaveLength(4);
    expect(rows[3]![1]).toBeCloseTo(20, 9);
    expect(rows[3]![2]).toBeCloseTo(2.5 - 0.5 * 0.25, 9);
    expect(answer.entries).toHaveLength(3);
  });
  it('no number of changes goes below the new water', () => {
    expect(() =>
      ask('water-changes', { litres: '200', nitrate: '80 NO3', target: '5 NO3', newNitrate: '10 NO3' }),
    ).toThrow(/new water holds as much/);
  });
  it('a fifth of the water at 29 °C lifts 24 to 25', () => {
    const answer = ask('warm-new-water', { litres: '200', share: '20 %', tank: '24', wanted: '25' });
    expect(number(answer, 'new')).toBeCloseTo(29, 2);
  });
  it('running water uses most, one change least', () => {
    const answer = ask('running-exchange', { litres: '200', nitrate: '80 NO3', target: '20 NO3' });
    expect(number(answer, 'once')).toBeCloseTo(150, 6);
    expect(number(answer, 'running')).toBeCloseTo(200 * Math.log(4), 6);
    expect(number(answer, 'parts')).toBeGreaterThan(number(answer, 'once'));
    expect(number(answer, 'parts')).toBeLessThan(number(answer, 'running'));
  });
});

describe('instruments that disagree', () => {
  it('a 60/60 °F glass hydrometer at 1.0245 in water of 26 °C means 35.25 ± 0.66', () => {
    const answer = ask('hydrometer', { reading: '1.0245', scale: '60/60F', temperature: '26' });
    expect(number(answer, 'salinity')).toBeCloseTo(35.25, 2);
    expect(error(answer, 'salinity')).toBeCloseTo(0.66, 2);
  });
  it('a swing arm is never better than 1.5', () => {
    const answer = ask('hydrometer', { reading: '1.0245', scale: '60/60F', body: 'swing-arm' });
    expect(error(answer, 'salinity')).toBeGreaterThan(1.5);
  });
  it('a brine refractometer zeroed with tap water shows 35 in water of 33.6; set with a standard it is right', () => {
    const reading = { reading: '35', scale: 'brine' };
    expect(number(ask('refractometer', reading), 'salinity')).toBeCloseTo(33.56, 2);
    expect(number(ask('refractometer', { ...reading, setWith: 'standard' }), 'salinity')).toBeCloseTo(35, 9);
  });
  it('an uncompensated refractometer at 25 °C is put right by about 3', () => {
    const answer = ask('refractometer', { reading: '32', compensated: 'no', temperature: '25' });
    expect(number(answer, 'salinity') - 32).toBeGreaterThan(2.5);
    expect(number(answer, 'salinity') - 32).toBeLessThan(3.5);
  });
  it('a meter with a good seawater compensation is read at 25 °C, one with none at the tank temperature', () => {
    const at = (compensation: string) =>
      number(ask('conductivity', { reading: '53.07', temperature: '28', compensation }), 'salinity');
    expect(at('seawater')).toBeCloseTo(35, 2);
    expect(at('none')).toBeCloseTo(32.8, 1);
  });
});

describe('feeding the bacteria', () => {
  it('200 L to 2 mg/L as N takes 1.53 g of ammonium chloride', () => {
    const answer = ask('ammonia-from-salt', { litres: '200 ± 10' });
    expect(number(answer, 'grams')).toBeCloseTo(1.5276, 3);
    expect(error(answer, 'reached')).toBeCloseTo(0.1, 3);
    expect(cautionIds(answer)).toEqual(expect.arrayContaining(['CAU-A2', 'CAU-A3']));
    expect(answer.entries).toMatchObject([{ kind: 'dose', body: { nitrogenMg: 400 } }]);
  });
  it('the same level wanted "as NH3" takes a fifth less: the ion is part of the number', () => {
    const n = number(ask('ammonia-from-salt', { litres: '200', target: '2 mg/L N' }), 'grams');
    const nh3 = number(ask('ammonia-from-salt', { litres: '200', target: '2 mg/L NH3' }), 'grams');
    expect(nh3 / n).toBeCloseTo(14.0067 / 17.0305, 4);
  });
  it('ammonia itself brings alkalinity, its chloride none', () => {
    const bottle = { litres: '200', strength: '10 % NH3' };
    const own = ask('ammonia-from-bottle', { ...bottle, dissolved: 'NH3' });
    expect(number(own, 'alkalinity')).toBeCloseTo(2 / 14.0067, 4);
    expect(number(ask('ammonia-from-bottle', bottle), 'alkalinity')).toBe(0);
    expect(number(own, 'millilitres')).toBeCloseTo(400 / 82.245, 3);
    expect(cautionIds(own)[0]).toBe('CAU-A1');
  });
  it('more than 4 mg/L as N is called too much', () => {
    expect(ask('ammonia-from-salt', { litres: '200', target: '5 N' }).warnings.join()).toMatch(
      /1–2 is enough/,
    );
  });
  it('a stock of which 1 mL raises 10 L by 1 mg/L holds 10 mg N/mL', () => {
    const answer = ask('ammonia-stock', {});
    expect(number(answer, 'strength')).toBeCloseTo(10, 9);
    expect(number(answer, 'grams')).toBeCloseTo(19.095, 2);
  });
  it('a rise of 70 % means more water than thought, and offers the volume for the journal', () => {
    const answer = ask('dose-check', {
      dose: '1.53 g NH4Cl',
      litres: '200 ± 10',
      before: '0 ± 0.1 N',
      after: '1.4 ± 0.2 N',
    });
    expect(number(answer, 'ratio')).toBeCloseTo(0.7, 2);
    expect(answer.warnings[0]).toMatch(/less than expected/);
    expect(answer.entries).toMatchObject([{ kind: 'tank' }]);
  });
  it('a difference within the error of a crude kit is left alone', () => {
    const answer = ask('dose-check', {
      dose: '400 mg N',
      litres: '200 ± 20',
      before: '0 ± 0.1 N',
      after: '1.75 ± 0.25 N',
    });
    expect(answer.warnings[0]).toMatch(/nothing needs to be changed/);
    expect(answer.entries).toEqual([]);
  });
  it('the volume from a dose agrees with the volume that was dosed', () => {
    const answer = ask('volume-by-dose', { dose: '400 mg N', before: '0.1 N', after: '2.1 ± 0.2 N' });
    expect(number(answer, 'litres')).toBeCloseTo(200, 9);
    expect(error(answer, 'litres')).toBeCloseTo(20, 1);
  });
  it('a rise smaller than its error says nothing of the volume', () => {
    expect(() => ask('volume-by-dose', { dose: '400', before: '0 ± 0.3 N', after: '0.25 ± 0.3 N' })).toThrow(
      /did not rise/,
    );
  });
  it('salt raised from 33 to 35 gives back the litres it was weighed for', () => {
    const salt = number(
      ask('raise-salinity', { litres: '200', from: '33', to: '35', hydration: '1.1' }),
      'salt',
    );
    const answer = ask('volume-by-salt', {
      salt: `${salt} g`,
      before: '33',
      after: '35',
      hydration: '1.1',
    });
    expect(number(answer, 'litres')).toBeCloseTo(200, 6);
  });
});

describe('buffer and minerals', () => {
  const rise = { litres: '200', now: '6 dKH', target: '8 dKH' };
  it('2 dKH in 200 L take 11.98 g of bicarbonate over two days', () => {
    const answer = ask('raise-alkalinity', rise);
    expect(number(answer, 'grams')).toBeCloseTo((200 * 0.71326) / 11.904, 1);
    expect(number(answer, 'days')).toBe(2);
    expect(answer.cautions).toEqual([]);
  });
  it('carbonate lifts pH at once, bicarbonate lowers it a little, and both end at the same pH', () => {
    const from = (buffer: string) => ask('raise-alkalinity', { ...rise, buffer, ph: '8.0' });
    const bicarbonate = from('bicarbonate');
    const carbonate = from('carbonate');
    expect(number(carbonate, 'pHAtOnce') - number(carbonate, 'pHNow')).toBeGreaterThan(0.3);
    const moved = number(bicarbonate, 'pHAtOnce') - number(bicarbonate, 'pHNow');
    expect(moved).toBeLessThan(0);
    expect(moved).toBeGreaterThan(-0.1);
    expect(number(carbonate, 'pHSettled')).toBeCloseTo(number(bicarbonate, 'pHSettled'), 9);
    expect(cautionIds(carbonate)).toEqual(['CAU-C2']);
  });
  it('a level at which chalk settles is named', () => {
    const answer = ask('raise-alkalinity', { ...rise, target: '14 dKH', roomCo2: '420' });
    expect(answer.warnings.join()).toMatch(/settle on heaters/);
  });
  it('40 mg/L of calcium in 200 L take 29.3 g of the dihydrate, 22.2 g anhydrous; it heats as it dissolves', () => {
    const calcium = { litres: '200', now: '380', target: '420' };
    const answer = ask('raise-calcium', calcium);
    expect(number(answer, 'grams')).toBeCloseTo(8000 / 272.6, 2);
    expect(number(ask('raise-calcium', { ...calcium, formula: 'CaCl2' }), 'grams')).toBeCloseTo(
      8000 / 361.1,
      1,
    );
    expect(cautionIds(answer)).toEqual(['CAU-C1']);
    expect(answer.warnings.join()).toMatch(/chalk falls out/);
  });
  it('magnesium from its chloride or its sulfate', () => {
    const magnesium = { litres: '200', now: '1200', target: '1300' };
    expect(number(ask('raise-magnesium', magnesium), 'grams')).toBeCloseTo(20000 / 119.55, 1);
    expect(number(ask('raise-magnesium', { ...magnesium, formula: 'MgSO4·7H2O' }), 'grams')).toBeCloseTo(
      20000 / 98.61,
      1,
    );
  });
});

describe('one water', () => {
  it('gives free ammonia with the error of pH, probe and formulation', () => {
    const answer = ask('one-water', { temperature: '25', salinity: '35', ph: '8.2 ± 0.1', ammonia: '1 N' });
    expect(number(answer, 'freeAmmoniaN')).toBeCloseTo(0.0616, 4);
    expect(error(answer, 'freeAmmoniaN')).toBeGreaterThan(0.012);
    expect(answer.tables[0]!.rows[0]).toHaveLength(7);
  });
  it('says where a relation is used outside its range', () => {
    const answer = ask('one-water', { temperature: '25', salinity: '10', ph: '8', alkalinity: '2' });
    expect(answer.warnings.join()).toMatch(/salinity 10 lies outside 20–40/);
  });
  it('needs no pH to tell the pH in balance with a room', () => {
    const answer = ask('one-water', {
      temperature: '25',
      salinity: '35',
      alkalinity: '2.3537',
      roomCo2: '420',
    });
    expect(number(answer, 'pHInRoom')).toBeCloseTo(8.0369 + 0.137, 3);
  });
});

it('every id of a tool is used once', () => {
  expect(new Set(mixingTools.map(({ id }) => id)).size).toBe(mixingTools.length);
});
