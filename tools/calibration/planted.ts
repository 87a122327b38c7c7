import { type Entry, foldTank, parseJournal, type TankFacts, type TankId } from '@brinewright/journal';
import { type Carded, cards, dayMs, id, opened, pick, type Reader } from './keeper.ts';
import { live, type OtherTank, otherTank, type Strain, stepDays } from './other-biology.ts';
import { around, chance, oneOf, type Random, stream } from './random.ts';

/** What may be planted in a virtual start-up; `sound` is nothing. */
export const plantable = [
  'sound',
  'STL-DEAD',
  'STL-VOL',
  'STL-KIT',
  'STL-INT',
  'STL-ALK',
  'STL-COLD',
  'STL-TAN',
  'STL-NO2',
  'STL-PO4',
  'poison',
  'STL-SRC',
  'unfed',
] as const;
export type Planted = (typeof plantable)[number];

/** A start-up in which one thing is wrong, as its keeper wrote it down. */
export interface PlantedCase {
  readonly cause: Planted;
  readonly facts: TankFacts;
  readonly asOf: number;
}

interface Scene {
  readonly cause: Planted;
  readonly random: Random;
  readonly tank: OtherTank;
  readonly litres: number;
  readonly trueLitres: number;
  readonly hand: number;
  readonly reader: Reader;
  readonly firstDose: number;
}

const slowed = (strains: readonly Strain[], factor: number): Strain[] =>
  strains.map((strain) => ({ ...strain, growth: factor * strain.growth }));

function sceneOf(seed: number, cause: Planted): Scene {
  const random = stream(seed, 91, plantable.indexOf(cause));
  const is = (...causes: Planted[]): boolean => causes.includes(cause);
  const bottle = around(random, 0.02, 0.8);
  const capacity = is('STL-DEAD') ? 1e-6 : bottle;
  const tank = otherTank(random, {
    salt: true,
    ammoniaInoculum: capacity,
    nitriteInoculum: is('STL-NO2') ? 1e-4 * bottle : capacity * around(random, 0.6, 0.5),
    temperatureC: is('STL-COLD') ? 17 : 25 + 0.7 * random.normal(),
  });
  const { ammonia, nitrite } = tank.oxidisers;
  const factors = is('poison') ? [0.2, 0.2] : is('STL-PO4') ? [0.7, 0.3] : [1, 1];
  const changed: OtherTank = {
    ...tank,
    alkalinity: is('STL-ALK') ? 0.7 + 0.3 * random.uniform() : around(random, 2.6, 0.06),
    ammonia: is('poison') && chance(random, 0.4) ? 0.5 : tank.ammonia,
    oxidisers: { ammonia: slowed(ammonia, factors[0]!), nitrite: slowed(nitrite, factors[1]!) },
  };
  const litres = Math.round(around(random, 180, 0.4));
  const off = oneOf(random, [0.55, 1.8]);
  const byLitres = chance(random, 0.5);
  return {
    cause,
    random,
    tank: changed,
    litres,
    trueLitres: litres * (is('STL-VOL') && byLitres ? off : around(random, 0.97, 0.05)),
    hand: is('STL-VOL') && !byLitres ? 1 / off : around(random, 1, 0.05),
    reader: {
      blur: around(random, 0.25, 0.2),
      bias: {
        ammonia: 0.12 * random.normal(),
        nitrite: 0.12 * random.normal(),
        nitrate: 0.12 * random.normal(),
      },
      tint: is('STL-KIT') ? around(random, 0.4, 0.2) : Math.abs(0.05 * random.normal()),
      cross: is('STL-INT') ? around(random, 30, 0.3) : around(random, 0.5, 0.5),
    },
    firstDose: is('STL-TAN') ? 9 : oneOf(random, [1.5, 2, 2]),
  };
}

/** What the keeper reads of the water as it is. */
function readStep({ random, tank, reader }: Scene, analyte: Carded): number {
  const shown = {
    ammonia: tank.ammonia + reader.tint,
    nitrite: tank.nitrite,
    nitrate: tank.nitrate + reader.cross * tank.nitrite,
  };
  return pick(random, analyte, shown[analyte], reader, 0.02);
}

/** One start-up with one thing wrong, looked at after three to five weeks; the same for the same seed. */
export function plantedCase(seed: number, cause: Planted): PlantedCase {
  const scene = sceneOf(seed, cause);
  const { random, tank, litres, trueLitres } = scene;
  const lines: object[] = [];
  const write = (day: number, kind: string, body: object): void => {
    const at = new Date(opened + Math.round(day * dayMs)).toISOString();
    lines.push({ id: id(seed, lines.length + 2), tank: id(seed, 1), at, kind, body });
  };
  write(0, 'tank', {
    name: `Planted ${seed}`,
    opened: new Date(opened).toISOString(),
    litres: { value: litres, sd: 0.07 * litres },
    salinity: 35,
    ...(cause !== 'STL-COLD' && { temperatureC: 25 }),
    route: 'salt+culture',
  });
  for (const [analyte, { as, steps }] of Object.entries(cards))
    write(0, 'kit', { kit: analyte, analyte, as, steps });
  const dose = (day: number, mgNL: number): void => {
    write(day, 'dose', { substance: 'ammonium-chloride', nitrogenMg: Math.round(mgNL * litres) });
    const added = (mgNL * litres * scene.hand) / trueLitres;
    tank.ammonia += added;
    tank.freed += added;
  };
  const read = (day: number, analyte: Carded): number => {
    const value = readStep(scene, analyte);
    write(day, 'reading', { analyte, as: cards[analyte].as, kit: analyte, value });
    return value;
  };
  read(0, 'ammonia');
  if (cause !== 'unfed') dose(0.01, scene.firstDose);
  write(0.02, 'culture', { source: 'bottled' });
  if (cause === 'poison')
    write(1, 'note', {
      text: oneOf(random, ['Rock came second-hand.', 'Tap water straight from the main.', 'All quiet.']),
    });
  hints(scene, write);
  const until = Math.round(21 + 14 * random.uniform());
  for (let step = 1; step <= until / stepDays; step++) {
    const day = step * stepDays;
    inhibited(scene);
    if (cause === 'STL-SRC' && day > 8) tank.ammonia += 0.4 * stepDays;
    live(tank, day);
    if (step % Math.round(2.5 / stepDays) !== 0 || chance(random, 0.15)) continue;
    const ammonia = read(day, 'ammonia');
    const nitrite = read(day, 'nitrite');
    if (chance(random, 0.4)) read(day, 'nitrate');
    if (chance(random, 0.2)) {
      const value = Math.max(0, Math.round(10 * (tank.alkalinity + 0.12 * random.normal())) / 10);
      write(day, 'reading', { analyte: 'alkalinity', value });
    }
    if (cause !== 'unfed' && cause !== 'STL-SRC' && ammonia <= 0.25 && nitrite <= 0.5 && chance(random, 0.5))
      dose(day + 0.02, 1);
  }
  const text = [JSON.stringify({ journal: 1 }), ...lines.map((line) => JSON.stringify(line))].join('\n');
  const { entries, problems } = parseJournal(`${text}\n`);
  if (problems.length > 0) throw new Error(`case ${seed} wrote a bad line: ${JSON.stringify(problems[0])}`);
  return { cause, facts: foldTank(entries as Entry[], id(seed, 1) as TankId), asOf: opened + until * dayMs };
}

/** What keepers happen to write down that bears on the cause: half of them do. */
function hints(
  { cause, random, tank }: Scene,
  write: (day: number, kind: string, body: object) => void,
): void {
  const noted = chance(random, 0.5);
  if (cause === 'STL-COLD' && noted)
    write(3, 'reading', { analyte: 'temperature', value: Math.round(tank.temperatureC) });
  if (cause === 'STL-PO4' && noted) write(12, 'reading', { analyte: 'phosphate', value: 0 });
}

/** Ammonia oxidisers held back by far too much ammonia: their capacity does not grow meanwhile. */
function inhibited({ cause, tank }: Scene): void {
  if (cause !== 'STL-TAN') return;
  const held = 1 / (1 + (tank.ammonia / 4) ** 2);
  for (const strain of tank.oxidisers.ammonia) strain.capacity *= 1 - (1 - held) * stepDays * 0.4;
}
