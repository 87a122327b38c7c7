import type { World } from '../virtual/world.ts';

/** Where a start stands when a test is done: by who lives there, by what asked for it, else by the water in truth. */
export const phases = [
  'first rise',
  'ammonia falling',
  'nitrite standing',
  'full doses',
  'challenge',
  'suspicion',
  'with animals',
] as const;
export type Phase = (typeof phases)[number];

/** mg N/L under which ammonia, or nitrite, counts as gone. */
const gone = 0.25;
/** Share of the nitrogen put in that is turned over once a start has begun. */
const begun = 0.2;

/** How far a start has come. What was passed once stays passed: a second dose begins nothing anew. */
export class Progress {
  private water: 'first rise' | 'ammonia falling' | 'nitrite standing' | 'full doses' = 'first rise';
  private readonly world: World;

  constructor(world: World) {
    this.world = world;
  }

  /** The phase a test belongs to that an order of a key asked for. */
  of(order: string): Phase {
    this.look();
    if (this.world.beginning === 'animals') return 'with animals';
    if (order.startsWith('prove')) return 'challenge';
    return /^(stall|buffer|test:repeat)/.test(order) ? 'suspicion' : this.water;
  }

  private look(): void {
    const { ammonia, nitrite, freed } = this.world.tank;
    if (this.water === 'first rise' && freed > gone && ammonia < (1 - begun) * freed)
      this.water = 'ammonia falling';
    if (this.water === 'ammonia falling' && ammonia < gone) this.water = 'nitrite standing';
    if (this.water === 'nitrite standing' && ammonia < gone && nitrite < gone) this.water = 'full doses';
  }
}
