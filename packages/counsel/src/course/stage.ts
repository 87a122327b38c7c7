import { quantiles } from '@brinewright/evidence';
import { clearLevel, stateIndex, stateWidth } from '@brinewright/nitrogen';
import type { Stage } from './answer.ts';
import type { Reckoning } from './reckon.ts';

/** mg N/L of ammonia above which the first step is still what is awaited. */
const ammoniaAwaited = 0.25;
/** Share of the freed nitrogen that must have gone past ammonia before the first group counts as awake. */
const awakeShare = 0.1;
/** Days a tank must have been ready to be called settling, then kept. */
const settlingAfterDays = 14;
const keptAfterDays = 60;

/** Middle values over the particles of what is true today. */
export interface Standing {
  readonly ammonia: number;
  readonly nitrite: number;
  /** mg N/L that went past ammonia since the opening, and that were set free. */
  readonly oxidised: number;
  readonly freed: number;
  /** Share of particles whose water was ready by now, and whose water is clear now. */
  readonly ready: number;
  readonly clear: number;
  /** Days since it became ready, the middle of those that did. */
  readonly readyFor: number;
}

export function standingOf({ trajectories, situation }: Reckoning): Standing {
  const { today, particles, readyDays } = trajectories;
  const column = (name: keyof typeof stateIndex): Float64Array =>
    Float64Array.from({ length: particles }, (_, i) => today[i * stateWidth + stateIndex[name]]!);
  const middle = (values: Float64Array): number => quantiles(values, [0.5])[0]!;
  const [ammonia, nitrite, freed] = [column('ammonia'), column('nitrite'), column('freed')];
  const since = readyDays.map((day) => situation.problem.today - day).filter((days) => days >= 0);
  return {
    ammonia: middle(ammonia),
    nitrite: middle(nitrite),
    freed: middle(freed),
    // The first row of the trajectories is the opening: what it held nobody here oxidised.
    oxidised: middle(
      column('nitrate').map(
        (now, i) => now + nitrite[i]! - trajectories.nitrate[i]! - trajectories.nitrite[i]!,
      ),
    ),
    ready: since.length / particles,
    clear: ammonia.filter((a, i) => a < clearLevel && nitrite[i]! < clearLevel).length / particles,
    readyFor: since.length > 0 ? middle(since) : 0,
  };
}

/** Where in its start-up a tank stands, in the words of the contract. */
export function stageOf(reckoning: Reckoning): Stage {
  const { situation } = reckoning;
  if (situation.neverFed) return 'waking';
  const standing = standingOf(reckoning);
  if (standing.ready >= 0.5 && standing.clear >= 0.5) {
    if (standing.readyFor >= keptAfterDays) return 'kept';
    const stocked = situation.facts.arrivals.length > 0;
    return stocked || standing.readyFor >= settlingAfterDays ? 'settling' : 'proving';
  }
  if (standing.nitrite >= clearLevel && standing.ammonia < ammoniaAwaited) return 'nitrite';
  const awake = standing.oxidised > awakeShare * Math.max(standing.freed, 0.1);
  return awake ? 'ammonia' : 'waking';
}
