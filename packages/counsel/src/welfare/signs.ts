import type { TankFacts } from '@brinewright/journal';
import { dayMs } from '../situation/situation.ts';

/** What a keeper's own words tell that no reading does. Notes are searched for a few English words; a miss is no harm. */
type Sign = 'gasping' | 'power-cut' | 'moved' | 'medicine' | 'shock' | 'media-removed';

const spellings: Readonly<Record<Sign, RegExp>> = {
  gasping: /\b(gasp\w*|at the surface|breathing (fast|hard|heavily)|panting)\b/i,
  'power-cut':
    /\b(power (cut|failure|outage|was out)|blackout|outage|no (power|electricity|flow)|pump (stopped|failed))\b/i,
  moved: /\b(moved (house|the tank|home)|house move|tank (was )?moved|moving (house|day))\b/i,
  medicine: /\b(medicin\w*|medicat\w*|antibiotic\w*|copper treatment|formalin)\b/i,
  shock:
    /\b(tingl\w*|electric shock|got a shock|breaker (trips|tripped)|(residual|earth|ground)\w* .{0,20}trip\w*)\b/i,
  'media-removed':
    /\b(took out|removed|replaced) (the |some |half (of )?(the )?)?(rock|media|filter media|sponge)\b/i,
};

export interface FoundSign {
  readonly sign: Sign;
  readonly at: number;
  readonly entry: string;
  readonly text: string;
}

/** Signs noted within so many days before an instant, oldest first. */
export function signsOf({ notes }: TankFacts, asOf: number, withinDays: number): FoundSign[] {
  return notes
    .filter(({ at }) => at <= asOf && asOf - at <= withinDays * dayMs)
    .flatMap(({ text, at, entry }) =>
      (Object.keys(spellings) as Sign[])
        .filter((sign) => spellings[sign].test(text))
        .map((sign) => ({ sign, at, entry, text })),
    );
}
