import { type Bearings, hoursFrom, hoursSince, lastReading } from '../orders/bearings.ts';
import { exchangeWords } from '../orders/exchange-size.ts';
import { order } from '../orders/make.ts';
import type { Order, Reason } from '../orders/order.ts';
import { chanceOf } from '../orders/particles.ts';
import { testOf } from '../orders/test-of.ts';
import { figure, levelBandWords, listWords } from '../orders/words.ts';
import { type AmmoniaExchange, ammoniaExchange } from './ammonia-exchange.ts';
import { type Exposure, hoursAhead, levelRead } from './exposure.ts';
import { chronicCriterion, kindWords, type Limit, limitsFor } from './limits.ts';
import { signsOf } from './signs.ts';

/** What the animals' ammonia calls for. */
type Verdict = 'emergency' | 'act' | 'check' | 'ok';

interface Broken {
  readonly verdict: Verdict;
  /** The mean and the band that decided it. */
  readonly mean: Exposure['means'][number];
  readonly limit: Limit;
}

const corroboratedWithinHours = 48;
/** Ammonia that rises by less than this factor from one day to the next stands. */
const hardlyMore = 1.1;

/** The gravest verdict over the averaging times (R-NH3-1: by the middle estimate, or the upper one where something agrees). */
function worstOf(bearings: Bearings, exposure: Exposure): Broken | undefined {
  const limits = limitsFor('nh3_n', bearings.animals, bearings.salinity);
  const agreed = corroboration(bearings, exposure, limits) !== undefined;
  const found = limits.flatMap((limit): Broken[] => {
    const mean = exposure.means.find(({ hours }) => hours === limit.row.hours);
    if (!mean) return [];
    const ok = limit.row.okMax ?? Infinity;
    const most = limit.row.emergencyAbove ?? Infinity;
    // One reading alone may be a slip and only widens the doubt; two that agree, or one and a sign, count as they stand.
    const central = Math.max(mean.band.p50, agreed ? (mean.read ?? 0) : 0);
    const upper = Math.max(mean.upper, mean.read ?? 0);
    // What is rising is acted on before it has been too high for a day.
    const ahead = limit.row.hours === hoursAhead ? exposure.tomorrow.p50 : 0;
    const verdict: Verdict =
      central > most || (upper > most && agreed)
        ? 'emergency'
        : Math.max(central, ahead) > ok || upper > most
          ? 'act'
          : upper > ok
            ? 'check'
            : 'ok';
    return [{ verdict, mean, limit }];
  });
  const chronic = exposure.means.find(({ hours }) => hours === chronicCriterion.hours);
  const day = found.find(({ limit }) => limit.row.hours === 24);
  if (chronic && day && chronic.band.p50 > chronicCriterion.mgNL && day.verdict !== 'emergency')
    return { ...day, verdict: 'act' };
  const order: readonly Verdict[] = ['emergency', 'act', 'check', 'ok'];
  return found.sort((a, b) => order.indexOf(a.verdict) - order.indexOf(b.verdict))[0];
}

/**
 * Whether the upper estimate of un-ionised ammonia stays below half of what is no concern, tomorrow as well, and does not
 * rise: the bacteria keep up with what the animals give off.
 */
export function keepsUp({ animals, salinity }: Bearings, { means, tomorrow }: Exposure): boolean {
  const day = means.find(({ hours }) => hours === hoursAhead)!;
  return (
    tomorrow.p50 <= day.band.p50 * hardlyMore &&
    limitsFor('nh3_n', animals, salinity).every(({ row }) => {
      const mean = means.find(({ hours }) => hours === row.hours);
      const most = Math.max(mean?.upper ?? 0, mean?.read ?? 0, tomorrow.upper);
      return most < (row.okMax ?? Infinity) / 2;
    })
  );
}

/** What besides the upper estimate says that ammonia is high: a second reading, a death, or animals gasping. */
function corroboration(
  { facts, asOf, animals }: Bearings,
  exposure: Exposure,
  limits: readonly Limit[],
): Reason | undefined {
  const recent = (at: number): boolean => asOf - at <= corroboratedWithinHours * 3_600_000 && at <= asOf;
  const ok = Math.min(...limits.map(({ row }) => row.okMax ?? Infinity));
  const high = facts.readings.filter(
    (reading) =>
      reading.analyte === 'ammonia' && recent(reading.at) && levelRead(reading) * exposure.share > ok,
  );
  const second = high.length >= 2 ? high.at(-1) : undefined;
  if (second)
    return { fact: `${high.length} ammonia readings within two days are high`, entry: second.entry };
  const loss = facts.losses.findLast(({ at }) => recent(at));
  if (loss && animals.present)
    return {
      fact: 'an animal was lost within the last two days: look for it, a body feeds ammonia',
      entry: loss.entry,
    };
  const gasping = signsOf(facts, asOf, 1).find(({ sign }) => sign === 'gasping');
  return gasping && { fact: `a note says: “${gasping.text}”`, entry: gasping.entry };
}

/** What the ammonia the animals stand in calls for: at most one order. */
export function ammoniaOrders(bearings: Bearings, exposure: Exposure): Order[] {
  const broken = worstOf(bearings, exposure);
  if (!broken) return [];
  const limits = limitsFor('nh3_n', bearings.animals, bearings.salinity);
  const because = [
    exposureReason(broken),
    {
      fact: `with nothing done it will average about ${figure(exposure.tomorrow.p50)} over the next ${hoursAhead} hours`,
    },
    limitReason(broken.limit),
    corroboration(bearings, exposure, limits),
    pHReason(exposure),
    binderReason(bearings),
  ];
  switch (broken.verdict) {
    case 'emergency':
      return [emergencyOrder(bearings, exposure, because)];
    case 'act':
      return [changeOrder(bearings, exposure, because)];
    case 'check':
      return [checkOrder(bearings, exposure, because)];
    default:
      return [];
  }
}

function exposureReason({ mean, limit }: Broken): Reason {
  const { p50 } = mean.band;
  return {
    fact: `un-ionised ammonia averaged ${figure(p50)} mg/L as N over the last ${spanWords(mean.hours)} by the fit (up to ${figure(mean.upper)}, doubt of kit and pH included)${mean.read === undefined ? '' : ` and ${figure(mean.read)} by the readings alone`}; for ${kindWords[limit.kind]} ${limit.row.okMax} is no concern and ${limit.row.emergencyAbove} an emergency`,
    source: `${limit.row.basis} (${limit.row.id})`,
  };
}

const spanWords = (hours: number): string => (hours === 1 ? 'hour' : `${hours} hours`);

const limitReason = (limit: Limit): Reason | undefined =>
  limit.kind === 'marine_fish'
    ? {
        fact: 'half of young clownfish died within a day at 1.06 mg/L of un-ionised ammonia as N; gills were hurt at 0.57',
        source: 'Medeiros 2014, MSc thesis, Federal University of Rio Grande',
      }
    : undefined;

const pHReason = ({ pH }: Exposure): Reason =>
  pH.measured
    ? {
        fact: `at pH ${figure(pH.value)}; an error of 0.3 would nearly double or halve the un-ionised share`,
        ...(pH.entry === undefined ? {} : { entry: pH.entry }),
      }
    : {
        fact: `no pH was measured within a week: ${pH.value} is assumed, to be on the animals' side; measure it`,
      };

function binderReason({ facts, asOf }: Bearings): Reason | undefined {
  const binder = facts.doses.findLast(
    ({ substance, at }) => substance === 'binder' && asOf - at < 72 * 3_600_000,
  );
  return (
    binder && {
      fact: 'an ammonia binder was used within three days: ammonia readings may mislead, so do not stop on a low one',
      entry: binder.entry,
    }
  );
}

/** What a change of water aims at: the strictest level of no concern for the animals there, mg NH3-N/L. */
const targetOf = ({ animals, salinity }: Bearings): number =>
  Math.min(0.02, ...limitsFor('nh3_n', animals, salinity).map(({ row }) => row.okMax ?? Infinity));

const neverRaisePH: Reason = {
  fact: 'raising pH makes more of the ammonia poisonous: from 7.8 to 8.2 the un-ionised share grows 2.4-fold; add no buffer, lime or carbonate until this is over',
  source: 'Clegg & Whitfield 1995',
};

function emergencyOrder(
  bearings: Bearings,
  exposure: Exposure,
  because: readonly (Reason | undefined)[],
): Order {
  const limit = targetOf(bearings);
  const level = Math.max(bearings.levels.ammonia.p95, exposure.lastRead ?? 0);
  const change = ammoniaExchange(bearings, exposure, level, limit);
  const hungry = bearings.animals.groups.some((group) => group.class === 'seahorse');
  const names = listWords(bearings.animals.kinds.map((kind) => kindWords[kind]));
  const again =
    change.size.times > 1 ? `, again after an hour or two, ${change.size.times} times in all` : '';
  return order(bearings, {
    key: 'welfare:ammonia',
    do: 'emergency',
    what: {
      exchange: change.size,
      stopFeeding: !hungry,
      aerate: true,
      retestAfterHours: 1,
    },
    say: `Ammonia is dangerous for your ${names}. Aerate${exposure.pH.value < 7.8 && exposure.pH.measured ? ' gently' : ''}, ${hungry ? 'feed half' : 'stop feeding'}, look for anything dead or rotting, and change ${exchangeWords(change.size)}${again}; test ammonia and pH again an hour later, then every 2–4 hours.`,
    because: [
      ...because,
      changeReason(bearings, change, level),
      neverRaisePH,
      bearings.animals.unknown
        ? { fact: 'no entry says which animals are there: the limits of the most sensitive fish are used' }
        : undefined,
    ],
    urgency: 'now',
    sure: chanceOf(bearings.draws.ammonia, (level) => level * exposure.share > limit),
    holdsWhile: 'un-ionised ammonia is above its limit for the animals present',
    cautions: ['CAU-E3', 'CAU-X1', ...(change.size.share > 0.25 ? (['CAU-E4'] as const) : [])],
  });
}

function changeReason(bearings: Bearings, change: AmmoniaExchange, level: number): Reason {
  const pH =
    change.pHAfter === undefined ? '' : `; after mixing, pH is expected near ${change.pHAfter.toFixed(1)}`;
  const lasts =
    change.lastsHours === undefined || change.lastsHours > 240
      ? ''
      : `; their own waste brings it back in about ${figure(Math.max(1, change.lastsHours))} hours if nothing takes it up`;
  return {
    fact: `sized from total ammonia of ${figure(level)} mg/L as N (${levelBandWords(bearings, 'ammonia', bearings.levels.ammonia)} today) and new water that holds none: test the new water too${pH}${lasts}`,
    source: 'conservation of mass',
  };
}

function changeOrder(
  bearings: Bearings,
  exposure: Exposure,
  because: readonly (Reason | undefined)[],
): Order {
  const limit = targetOf(bearings);
  const level = Math.max(
    bearings.levels.ammonia.p50,
    exposure.lastRead ?? 0,
    (1.05 * limit) / exposure.share,
  );
  const change = ammoniaExchange(bearings, exposure, level, limit);
  return order(bearings, {
    key: 'welfare:ammonia',
    do: 'exchange',
    what: change.size,
    say: `Ammonia is more than the animals should live in: feed half, keep air and flow strong, and change ${exchangeWords(change.size)} today; test ammonia and pH before and the day after.`,
    because: [
      ...because,
      {
        fact: `about ${exposure.hoursAbove(limit)} of the last 96 hours lay above the level of no concern`,
      },
      changeReason(bearings, change, level),
      neverRaisePH,
    ],
    urgency: 'today',
    sure: chanceOf(bearings.draws.ammonia, (value) => value * exposure.share > limit),
    holdsWhile: 'un-ionised ammonia lies between no concern and emergency',
    lookAgain: hoursFrom(bearings, 24),
    cautions: ['CAU-E3', 'CAU-W1'],
  });
}

function checkOrder(bearings: Bearings, exposure: Exposure, because: readonly (Reason | undefined)[]): Order {
  const tested = hoursSince(bearings, lastReading(bearings, 'ammonia')?.at);
  return order(bearings, {
    key: 'welfare:check',
    do: 'test',
    what: {
      tests: [testOf(bearings, 'ammonia'), ...(exposure.pH.measured ? [] : [testOf(bearings, 'pH')])],
    },
    say: `Test ammonia${exposure.pH.measured ? '' : ' and pH'} ${tested > 12 ? 'today' : 'once more tomorrow'}: it is probably harmless, but it could be more than the animals should live in.`,
    because,
    when: tested > 12 ? hoursFrom(bearings, 0) : hoursFrom(bearings, 24 - tested),
    urgency: tested > 12 ? 'today' : 'soon',
    sure: chanceOf(bearings.draws.ammonia, (value) => value * exposure.share > targetOf(bearings)),
    holdsWhile: 'the upper estimate of un-ionised ammonia is above the level of no concern',
    cautions: ['CAU-C5'],
  });
}
