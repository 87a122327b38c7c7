import { clearLevel } from '@brinewright/nitrogen';
import { inTen } from '../chances.ts';
import { dayMs } from '../situation/situation.ts';
import type { Course, Footing, Stage } from './answer.ts';
import type { Reckoning } from './reckon.ts';
import { type Standing, standingOf } from './stage.ts';

/** How dates are put into words. */
export interface Wording {
  /** IANA time zone; UTC where not said. */
  readonly timeZone?: string;
}

export interface Said {
  readonly sentence: string;
  /** Part of the sentence that carries the ready window, or null. */
  readonly emphasis: string | null;
  readonly footing: string;
  readonly footingParts: Footing;
}

/** mg N/L/d that turns over a usual dose within a day. */
const dayOfWork = 2;

/** One plain sentence on where a tank stands and when it will be ready, and a second line with the figures. */
export function sayCourse(reckoning: Reckoning, course: Course, wording: Wording = {}): Said {
  const name = reckoning.situation.facts.name ?? 'The tank';
  const emphasis = windowWords(course, wording);
  const standing = standingOf(reckoning);
  const state = stateWords(course, standing, reckoning.situation.neverFed);
  const ending = endingWords(course, standing, emphasis, reckoning.situation);
  const footingParts = footingOf(reckoning, course);
  return { sentence: `${name} ${state}${ending}`, emphasis, footing: sayFooting(footingParts), footingParts };
}

function stateWords({ stage, capacity }: Course, standing: Standing, neverFed: boolean): string {
  if (neverFed) return 'has not been fed';
  if (wasReady(stage, standing)) return 'was ready once, but nothing shows that it still is';
  const words: Record<Stage, string> = {
    waking: 'is waking: nothing is turning ammonia over yet that the readings could show',
    ammonia: 'has begun to turn ammonia over',
    nitrite:
      capacity.ammonia.p50 >= dayOfWork
        ? 'turns ammonia over in a day and is working on nitrite'
        : 'has cleared its ammonia and is working on nitrite',
    proving: 'is clear',
    settling: 'is clear and settling',
    kept: 'runs clear',
  };
  const food = stage === 'waking' && standing.freed < clearLevel ? ' and has little to work on' : '';
  return words[stage] + food;
}

function endingWords(
  course: Course,
  standing: Standing,
  emphasis: string | null,
  { neverFed, facts }: Reckoning['situation'],
): string {
  const stocked = facts.arrivals.length > 0;
  if (neverFed) return '; clear water proves nothing until it is, so there is no ready date.';
  if (clearStages.includes(course.stage)) {
    if (stocked) return '.';
    return standing.ready >= 0.95
      ? '; prove it with a challenge dose before animals come.'
      : `; ${inTen(standing.ready)} that it is ready now. A challenge dose would prove it.`;
  }
  if (wasReady(course.stage, standing)) return '; prove it again before animals come.';
  if (emphasis) return `; ready ${emphasis}.`;
  const chance = course.ready.byDay.at(-1)?.probability ?? 0;
  return `; no ready date within the ${horizonDays(course)} days looked ahead (${inTen(chance)} by then).`;
}

/** A tank whose water was clear and has not been since, or whose bacteria have starved. */
const wasReady = (stage: Stage, standing: Standing): boolean =>
  standing.ready >= 0.5 && !clearStages.includes(stage) && stage !== 'nitrite';

/** Stages in which the water itself is clear. */
const clearStages: readonly Stage[] = ['proving', 'settling', 'kept'];

const horizonDays = (course: Course): number => {
  const last = course.ready.byDay.at(-1);
  return last ? Math.round((Date.parse(last.at) - Date.parse(course.asOf)) / dayMs) : 0;
};

/** The ready window in words: "between 27 Feb and 6 Mar", or what can be said of it. */
function windowWords({ ready, asOf }: Course, wording: Wording): string | null {
  const said = (instant: string): string => dateWords(instant, wording);
  const { p05, p50, p95 } = ready;
  if (p05 === null || p50 === null) return null;
  if (p95 !== null && Date.parse(p95) <= Date.parse(asOf)) return null;
  const from = Date.parse(p05) <= Date.parse(asOf) ? 'now' : said(p05);
  if (p95 !== null) return from === said(p95) ? `about ${from}` : `between ${from} and ${said(p95)}`;
  return from === 'now'
    ? `perhaps already, as likely as not by ${said(p50)}`
    : `not before ${from}, as likely as not by ${said(p50)}`;
}

/** "27 Feb", in the tank's time zone. */
export function dateWords(instant: string, { timeZone = 'UTC' }: Wording): string {
  return new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', timeZone }).format(
    Date.parse(instant),
  );
}

function footingOf({ situation }: Reckoning, { ready }: Course): Footing {
  const { litres } = situation.facts;
  return {
    day: Math.floor((situation.asOf - situation.firstOpened) / dayMs),
    litres: litres ? { value: litres.value, sd: litres.sd } : null,
    window:
      ready.p05 === null || ready.p95 === null
        ? null
        : '9 in 10 such tanks are ready inside the window, 1 in 20 before it',
  };
}

function sayFooting({ day, litres, window }: Footing): string {
  const water = litres ? `${round(litres.value)} ± ${round(litres.sd)} L` : 'litres not stated';
  const parts = [`Day ${day} since the opening`, water, window];
  return parts.filter((part) => part !== null).join(' · ');
}

const round = (value: number): string => String(Number(value.toPrecision(3)));
