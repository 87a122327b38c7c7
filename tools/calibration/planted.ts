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
  /** Readings that would have been others had nothing been wrong: a cause that leaves no mark cannot be found. */
  readonly marks: number;
}

/** A tank and its keeper, and what is wrong there. */
interface Scene {
  readonly seed: number;
  /** Names the streams of chance: the same where nothing is wrong, so that only what is planted makes a difference. */
  readonly key: number;
  readonly cause: Planted;
  readonly tank: OtherTank;
  readonly litres: number;
  readonly trueLitres: number;
  readonly hand: number;
  readonly reader: Reader;
  readonly firstDose: number;
}

const slowed = (strains: readonly Strain[], factor: number): Strain[] =>
  strains.map((strain) => ({ ...strain, growth: factor * strain.growth }));

/** Draws everything in the same order whatever is wrong. */
function sceneOf(seed: number, key: number, cause: Planted): Scene {
  const random = stream(seed, 91, key);
  const is = (...causes: Planted[]): boolean => causes.includes(cause);
  const bottle = around(random, 0.02, 0.8);
  const capacity = is('STL-DEAD') ? 1e-6 : bottle;
  const second = around(random, 0.6, 0.5);
  const warm = 25 + 0.7 * random.normal();
  const tank = otherTank(random, {
    salt: true,
    ammoniaInoculum: capacity,
    nitriteInoculum: is('STL-NO2') ? 1e-4 * bottle : capacity * second,
    temperatureC: is('STL-COLD') ? 17 : warm,
  });
  const { ammonia, nitrite } = tank.oxidisers;
  const factors = is('poison') ? [0.2, 0.2] : is('STL-PO4') ? [0.7, 0.3] : [1, 1];
  const [alkalinity, spent] = [around(random, 2.6, 0.06), 0.7 + 0.3 * random.uniform()];
  const bound = chance(random, 0.4);
  const litres = Math.round(around(random, 180, 0.4));
  const off = oneOf(random, [0.55, 1.8]);
  const byLitres = chance(random, 0.5);
  const [usualLitres, usualHand] = [around(random, 0.97, 0.05), around(random, 1, 0.05)];
  const [blur, ...bias] = [around(random, 0.25, 0.2), ...[0, 1, 2].map(() => 0.12 * random.normal())];
  const [tint, strongTint] = [Math.abs(0.05 * random.normal()), around(random, 0.4, 0.2)];
  const [cross, strongCross] = [around(random, 0.5, 0.5), around(random, 30, 0.3)];
  const firstDose = oneOf(random, [1.5, 2, 2]);
  return {
    seed,
    key,
    cause,
    tank: {
      ...tank,
      alkalinity: is('STL-ALK') ? spent : alkalinity,
      ammonia: is('poison') && bound ? 0.5 : tank.ammonia,
      oxidisers: { ammonia: slowed(ammonia, factors[0]!), nitrite: slowed(nitrite, factors[1]!) },
    },
    litres,
    trueLitres: litres * (is('STL-VOL') && byLitres ? off : usualLitres),
    hand: is('STL-VOL') && !byLitres ? 1 / off : usualHand,
    reader: {
      blur: blur!,
      bias: { ammonia: bias[0]!, nitrite: bias[1]!, nitrate: bias[2]! },
      tint: is('STL-KIT') ? strongTint : tint,
      cross: is('STL-INT') ? strongCross : cross,
    },
    firstDose: is('STL-TAN') ? 9 : firstDose,
  };
}

/** What the keeper reads of the water as it is. */
function readStep({ seed, key, tank, reader }: Scene, day: number, analyte: Carded): number {
  const shown = {
    ammonia: tank.ammonia + reader.tint,
    nitrite: tank.nitrite,
    nitrate: tank.nitrate + reader.cross * tank.nitrite,
  };
  const luck = stream(seed, 93, key, Math.round(100 * day), Object.keys(cards).indexOf(analyte));
  return pick(luck, analyte, shown[analyte], reader, 0.02);
}

/** One start-up with one thing wrong, looked at after three to five weeks; the same for the same seed. */
export function plantedCase(seed: number, cause: Planted): PlantedCase {
  const key = plantable.indexOf(cause);
  const journal = journalOf(sceneOf(seed, key, cause));
  const sound = journalOf(sceneOf(seed, key, 'sound'));
  const marks = journal.read.filter((value, i) => value !== sound.read[i]).length;
  const text = [JSON.stringify({ journal: 1 }), ...journal.lines.map((line) => JSON.stringify(line))].join(
    '\n',
  );
  const { entries, problems } = parseJournal(`${text}\n`);
  if (problems.length > 0) throw new Error(`case ${seed} wrote a bad line: ${JSON.stringify(problems[0])}`);
  const facts = foldTank(entries as Entry[], id(seed, 1) as TankId);
  return { cause, facts, asOf: opened + journal.until * dayMs, marks };
}

/** Lets a scene's tank live and its keeper write: the lines, every number read in turn, and the last day. */
function journalOf(scene: Scene): { lines: object[]; read: number[]; until: number } {
  const { seed, key, cause, tank, litres, trueLitres } = scene;
  const random = stream(seed, 92, key);
  const lines: object[] = [];
  const shown: number[] = [];
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
    const value = readStep(scene, day, analyte);
    write(day, 'reading', { analyte, as: cards[analyte].as, kit: analyte, value });
    shown.push(value);
    return value;
  };
  read(0, 'ammonia');
  if (cause !== 'unfed') dose(0.01, scene.firstDose);
  write(0.02, 'culture', { source: 'bottled' });
  hints(scene, random, write);
  const until = Math.round(21 + 14 * random.uniform());
  for (let step = 1; step <= until / stepDays; step++) {
    const day = step * stepDays;
    inhibited(scene);
    if (cause === 'STL-SRC' && day > 8) tank.ammonia += 0.4 * stepDays;
    live(tank, day);
    if (step % Math.round(2.5 / stepDays) !== 0) continue;
    const [skips, nitrateToo, alkalinityToo, doses] = [0.15, 0.4, 0.2, 0.5].map((p) => chance(random, p));
    const error = 0.12 * random.normal();
    if (skips) continue;
    const ammonia = read(day, 'ammonia');
    const nitrite = read(day, 'nitrite');
    if (nitrateToo) read(day, 'nitrate');
    if (alkalinityToo) {
      const value = Math.max(0, Math.round(10 * (tank.alkalinity + error)) / 10);
      write(day, 'reading', { analyte: 'alkalinity', value });
      shown.push(value);
    }
    if (cause !== 'unfed' && cause !== 'STL-SRC' && ammonia <= 0.25 && nitrite <= 0.5 && doses)
      dose(day + 0.02, 1);
  }
  return { lines, read: shown, until };
}

/** What keepers happen to write down that bears on the cause: half of them do. */
function hints(
  { cause, tank }: Scene,
  random: Random,
  write: (day: number, kind: string, body: object) => void,
): void {
  const [noted, which] = [chance(random, 0.5), random.uniform()];
  const waters = ['Rock came second-hand.', 'Tap water straight from the main.', 'All quiet.'];
  if (cause === 'poison') write(1, 'note', { text: waters[Math.floor(which * waters.length)] });
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
