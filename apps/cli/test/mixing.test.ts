import { mixingTools } from '@brinewright/counsel';
import { describe, expect, it } from 'vitest';
import { shell, transcript } from './support/shell.ts';

const golden = async (name: string, args: readonly string[]): Promise<void> => {
  await expect(transcript(args, await shell(args))).toMatchFileSnapshot(`./golden/${name}.txt`);
};

describe('brinewright mix', () => {
  it('lists every tool', async () => {
    const { out, code } = await shell(['mix']);
    expect(code).toBe(0);
    for (const { id, title } of mixingTools) expect(out).toMatch(new RegExp(`^  ${id} +${title}$`, 'm'));
  });
  it('shows what a tool asks for', () => golden('mix-help', ['mix', 'new-batch', '--help']));
  it('answers on a page', () =>
    golden('mix-changes', [
      ...['mix', 'water-changes', '--litres', '200 ± 10', '--nitrate', '80 ± 10 NO3', '--target', '20 NO3'],
      ...['--changes', '3', '--alkalinity', '2', '--new-alkalinity', '2.5', '--working', '--entries'],
    ]));
  it('answers in gallons and ASCII', () =>
    golden('mix-gallons', [
      ...['mix', 'tank-volume', '--length', '48 in', '--width', '18 in', '--water-height', '20 in'],
      ...['--rock', '40 lb', '--units', 'us', '--plain'],
    ]));
  it('answers for a program, always metric', async () => {
    const args = [
      'mix',
      'ammonia-from-salt',
      '--litres',
      '55 US gal',
      '--target',
      '2 NH3',
      '--units',
      'us',
      '--json',
    ];
    const { out, err, code } = await shell(args);
    const answer = JSON.parse(out);
    expect({ err, code }).toEqual({ err: '', code: 0 });
    expect(answer.tool).toBe('ammonia-from-salt');
    expect(answer.results[0]).toMatchObject({ name: 'grams', unit: 'g', value: expect.closeTo(1.3078, 3) });
    expect(Object.keys(answer)).toEqual([
      'tool',
      'results',
      'tables',
      'working',
      'warnings',
      'cautions',
      'entries',
    ]);
  });
  it.each([
    [['mix', 'new-batch'], '--litres: it is missing.'],
    [['mix', 'new-batch', '--litres', '50 gal'], '--litres: "gal" may be US or UK gallons.'],
    [
      ['mix', 'volume-by-dose', '--dose', '400', '--before', '0', '--after', '2 N'],
      '--before: the number does not say',
    ],
    [
      ['mix', 'raise-alkalinity', '--litres', '9', '--now', '2', '--target', '3', '--room-co2', '3'],
      '--room-co2: 3 ppm is below',
    ],
    [['mix', 'potion'], 'There is no tool "potion".'],
  ])('%j is wrong usage that names the option', async (args, said) => {
    const { out, err, code } = await shell(args);
    expect({ out, code }).toEqual({ out: '', code: 2 });
    expect(err).toContain(said);
  });
});

describe('brinewright water', () => {
  it('tells all it can of one water', () =>
    golden('water', [
      'water',
      '--temperature',
      '25',
      '--salinity',
      '35',
      '--ph',
      '8.1 ± 0.1',
      '--alkalinity',
      '2.4',
    ]));
  it('gives its numbers by name to a program', async () => {
    const { out, code } = await shell(['water', '--temperature', '25', '--salinity', '35', '--json']);
    const { given, values } = JSON.parse(out);
    expect(code).toBe(0);
    expect(given).toEqual({ temperature: '25', salinity: '35' });
    expect(values.density).toMatchObject({ unit: 'kg/m³', value: expect.closeTo(1023.341, 3) });
    expect(values.oxygen).toMatchObject({ unit: 'mg/L', value: expect.closeTo(6.771, 3) });
    expect(values).not.toHaveProperty('freeAmmonia');
  });
  it('takes pH or alkalinity or both', async () => {
    const base = ['water', '--temperature', '77 F', '--salinity', '1.0264 at 25/25', '--json'];
    const names = async (more: string[]) =>
      Object.keys(JSON.parse((await shell([...base, ...more])).out).values);
    expect(await names(['--ph', '8.1'])).toContain('freeAmmonia');
    expect(await names(['--alkalinity', '2.4'])).toContain('pHInRoom');
    expect(await names(['--ph', '8.1', '--alkalinity', '7 dKH'])).toContain('dic');
  });
  it('asks for what it needs', async () => {
    const { err, code } = await shell(['water', '--temperature', '25']);
    expect(code).toBe(2);
    expect(err).toContain('--salinity: it is missing');
  });
});
