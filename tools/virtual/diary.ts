import {
  type Entry,
  foldTank,
  instantText,
  newEntryId,
  newTankId,
  type TankFacts,
  type TankId,
} from '@brinewright/journal';
import { type Beginning, cards, type World } from './world.ts';

const opened = Date.UTC(2025, 2, 1, 18);
const dayMs = 86_400_000;
const bytes = (number: number): Uint8Array =>
  Uint8Array.from({ length: 10 }, (_, i) => (i < 6 ? 0 : (number >> (8 * (9 - i))) & 255));

/** The journal's word for each way to begin; wet rock is told by what stands in the tank. */
const routes: Readonly<Record<Beginning, string>> = {
  ammonia: 'salt',
  'ammonia and culture': 'salt+culture',
  media: 'mature-media',
  'live rock': 'salt',
  food: 'organic',
  animals: 'animals',
};

/** What the heater's dial says, whatever the water is. */
const dialC = 25;

/** The journal a virtual keeper writes: what they believe, never what is true. */
export class Diary {
  readonly entries: Entry[] = [];
  readonly tank: TankId = newTankId(opened, bytes(0));

  constructor(world: World) {
    const { believedLitres, beginning } = world;
    this.write(0, 'tank', {
      name: 'Virtual',
      litres: { value: believedLitres, sd: 0.06 * believedLitres },
      temperatureC: dialC,
      salinity: 35,
      pH: 8.1,
      route: routes[beginning],
      ...(beginning === 'live rock'
        ? { surfaces: [{ material: 'live-rock', kg: believedLitres / 10 }] }
        : {}),
    });
    for (const [analyte, { as, steps }] of Object.entries(cards))
      this.write(0, 'kit', { kit: `${analyte}-drops`, analyte, as, steps });
    this.write(0, 'kit', { kit: 'alkalinity-drops', analyte: 'alkalinity', resolution: 0.1 });
  }

  write(day: number, kind: string, body: object): void {
    const at = opened + Math.round(day * dayMs);
    const id = newEntryId(at, bytes(this.entries.length + 1));
    this.entries.push({ id, tank: this.tank, at: instantText(at), kind, body: { ...body } });
  }

  facts(): TankFacts {
    return foldTank(this.entries, this.tank);
  }

  static asOf = (day: number): number => opened + Math.round(day * dayMs);
  static dayOf = (instant: string): number => (Date.parse(instant) - opened) / dayMs;
}
