import { freeAmmoniaFraction } from '@brinewright/seawater';
import { stepDays } from '../calibration/other-biology.ts';
import { liveTo, type World } from './world.ts';

/** Un-ionised ammonia that animals met, mg NH3-N/L (packages/counsel/data/limits.csv). */
export interface Exposure {
  /** Hours above 0.02, the level of no concern. */
  readonly hoursOfConcern: number;
  /** Hours in which the mean of the last 24 lay above 0.05, an emergency for animals in their first week. */
  readonly hoursOfEmergency: number;
  /** mg·h/L above 0.192, the acute criterion as a mean of one hour. */
  readonly acuteDose: number;
}

export const unexposed: Exposure = { hoursOfConcern: 0, hoursOfEmergency: 0, acuteDose: 0 };

const noConcern = 0.02;
const emergency = 0.05;
const acute = 0.192;
/** Two thirds of a day's waste come in the eight hours after the meal. */
const mealHours = 8;
const afterMeal = 2;
const between = 0.5;

/** Animals in a tank: they excrete by the meal and are exposed to what the bacteria leave. */
export class Animals {
  private readonly world: World;
  /** mg N/d of a day on which they are fed as usual. */
  private readonly load: number;
  private readonly lastDay: number[] = [];
  private met: Exposure = unexposed;

  constructor(world: World, loadMgNPerDay: number) {
    this.world = world;
    this.load = loadMgNPerDay * world.lavishness;
  }

  get exposure(): Exposure {
    return this.met;
  }

  /** Lives to a day with food at a share of the usual. */
  liveTo(day: number, fed = 1): void {
    const { world } = this;
    while (world.day < day - stepDays / 2) {
      const next = Math.min(day, world.day + 1 / 24);
      const hour = 24 * (world.day % 1);
      world.tank.load = ((hour < mealHours ? afterMeal : between) * fed * this.load) / world.trueLitres;
      liveTo(world, next);
      this.count();
    }
    world.tank.load = 0;
  }

  /** One more hour gone by. */
  private count(): void {
    const { tank, pH } = this.world;
    const { temperatureC } = tank;
    const level = tank.ammonia * freeAmmoniaFraction({ pH, pHScale: 'NBS', salinity: 35, temperatureC });
    this.lastDay.push(level);
    if (this.lastDay.length > 24) this.lastDay.shift();
    const mean = this.lastDay.reduce((sum, one) => sum + one, 0) / this.lastDay.length;
    const { hoursOfConcern, hoursOfEmergency, acuteDose } = this.met;
    this.met = {
      hoursOfConcern: hoursOfConcern + Number(level > noConcern),
      hoursOfEmergency: hoursOfEmergency + Number(this.lastDay.length === 24 && mean > emergency),
      acuteDose: acuteDose + Math.max(0, level - acute),
    };
  }
}

/** What animals of a load (mg N a day) meet in the weeks after they come, nobody doing anything about it. */
export function exposureAfter(world: World, load: number, days = 21): Exposure {
  const animals = new Animals({ ...world, tank: structuredClone(world.tank) }, load);
  animals.liveTo(world.day + days);
  return animals.exposure;
}
