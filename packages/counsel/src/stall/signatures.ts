import { asNitrogen, type ReadingBody } from '@brinewright/journal';
import { surprises } from '../course/doubts.ts';
import { type Bearings, hoursSince, lastReading } from '../orders/bearings.ts';
import { bandOf, valuesOf } from '../orders/particles.ts';
import { figure, levelBandWords } from '../orders/words.ts';
import { dayMs } from '../situation/situation.ts';
import { signsOf } from '../welfare/signs.ts';

/**
 * How much more likely what is seen is under a cause than without it, and the fact it rests on where it speaks for it.
 * The ratios are our judgement (docs/science/advice.md), bounded so that no single fact decides alone.
 */
export interface Signature {
  readonly ratio: number;
  readonly fact?: string;
}

/** What several signatures look at, gathered once. */
export interface Evidence {
  readonly bearings: Bearings;
  /** Readings of the last week that the fit could not explain. */
  readonly unexplained: readonly {
    readonly analyte: string;
    readonly entry: string;
    readonly higher: boolean;
  }[];
  /**
   * Days beyond the usual lag since the first food in which ammonia has not moved and nothing was turned over; 0 where it
   * has. Without any culture the lag is long: half of such starts show nothing before the third week.
   */
  readonly flatDays: number;
  readonly unfedDays: number;
  /** How far the first dose rose on the first reading after it, against what it should have; undefined where within doubt. */
  readonly firstRise: number | undefined;
  /** Nitrite read was more than this many times all the nitrogen known to have been put in; undefined where it was not. */
  readonly nitriteBeyond: number | undefined;
}

/** Days more that a start without culture may stand still. */
const unseededLagDays = 12;
const surprising = 0.02;
/** Days for which a reading that fits nothing is worth chasing. */
const surprisesForDays = 7;
const absent: Signature = { ratio: 0.05 };
const unseen: Signature = { ratio: 0.4 };

export function evidenceOf(bearings: Bearings): Evidence {
  const { reckoning, situation, levels, today } = bearings;
  const found = surprises(reckoning);
  const fed = situation.problem.deeds.filter(({ kind }) => kind === 'ammonia' || kind === 'organic');
  const seeded =
    situation.problem.deeds.some(({ kind }) => kind === 'culture') || situation.problem.start === 'mature';
  const lag = seeded ? 0 : unseededLagDays;
  const moved = levels.ammonia.p50 < 0.7 * levels.freed.p50 || levels.nitrite.p50 > 0.15;
  return {
    bearings,
    unexplained: situation.readings.flatMap((reading, index) =>
      found[index]!.surprise < surprising && situation.asOf - reading.at < surprisesForDays * dayMs
        ? [{ analyte: reading.analyte, entry: reading.entry, higher: found[index]!.higher }]
        : [],
    ),
    flatDays: fed[0] && !moved && levels.ammonia.p50 > 0.4 ? Math.max(0, today - fed[0].day - lag) : 0,
    unfedDays: today - (fed.at(-1)?.day ?? 0),
    firstRise: firstRise(bearings),
    nitriteBeyond: nitriteBeyond(bearings),
  };
}

const clearlyBeyond = 1.2;

function nitriteBeyond({ situation }: Bearings): number | undefined {
  const { deeds, observations } = situation.problem;
  let put = 0;
  for (const deed of deeds) {
    if (deed.kind === 'load' || deed.kind === 'culture' || deed.kind === 'exchange') continue;
    if (deed.size.form !== 'known') return undefined;
    if (deed.kind !== 'alkalinity') put += deed.size.amount;
  }
  if (put < 0.5 || deeds.some(({ kind }) => kind === 'load')) return undefined;
  const most = observations.reduce(
    (highest, { low, dilution }, index) =>
      situation.readings[index]!.analyte === 'nitrite' ? Math.max(highest, low * dilution) : highest,
    0,
  );
  return most > clearlyBeyond * put ? most / put : undefined;
}

/** Bounds of the rise, read over expected, inside which litres and strength count as right (R-RTE-3). */
const riseBounds = [0.75, 1.33] as const;

function firstRise({ situation }: Bearings): number | undefined {
  const { deeds, observations } = situation.problem;
  const dose = deeds.find(({ kind }) => kind === 'ammonia');
  if (dose?.kind !== 'ammonia' || dose.size.form !== 'known') return undefined;
  const index = situation.readings.findIndex(
    ({ analyte }, i) =>
      analyte === 'ammonia' && observations[i]!.day > dose.day + 0.02 && observations[i]!.day < dose.day + 1,
  );
  const read = observations[index];
  if (!read) return undefined;
  const low = (read.low * read.dilution) / dose.size.amount;
  const high = (read.high * read.dilution) / dose.size.amount;
  if (low > riseBounds[1]) return high === Infinity ? low : Math.sqrt(low * high);
  return high < riseBounds[0] ? Math.max(high / 2, 0.1) : undefined;
}

/** Days for which a reading still says something: longer where little changes it, as a heater or what a start-up's water holds. */
const usualDays = 14;
const temperatureDays = 60;
const phosphateDays = 30;

const value = (bearings: Bearings, analyte: string, days = usualDays): number | undefined =>
  lastReading(bearings, analyte, days)?.value;

/** A number past steps of growing weight; the last step passed counts. */
function past(
  seen: number | undefined,
  steps: readonly (readonly [number, number])[],
  direction: 'below' | 'above',
  fact: (seen: number) => string,
): Signature {
  if (seen === undefined) return unseen;
  const passed = steps.filter(([bound]) => (direction === 'below' ? seen < bound : seen > bound));
  const ratio = Math.max(0, ...passed.map(([, weight]) => weight));
  return ratio > 0 ? { ratio, fact: fact(seen) } : absent;
}

const posture = ({ facts }: Bearings, item: string): 'on' | 'off' | undefined =>
  facts.postures.findLast((one) => one.item === item)?.state;

const when = (holds: boolean, ratio: number, fact: string, otherwise = absent): Signature =>
  holds ? { ratio, fact } : otherwise;

export const signatures: Readonly<Record<string, (evidence: Evidence) => Signature>> = {
  'STL-ALK': ({ bearings }) => {
    const signature = past(
      bearings.levels.alkalinity.p50,
      [
        [1.8, 3],
        [1.4, 15],
        [1, 30],
      ],
      'below',
      (seen) => `alkalinity is about ${figure(seen)} meq/L`,
    );
    const untested = value(bearings, 'alkalinity') === undefined;
    return signature === absent && untested ? unseen : signature;
  },
  'STL-PH': ({ bearings }) =>
    past(
      value(bearings, 'pH'),
      [
        [7.6, 4],
        [7.4, 12],
        [7, 25],
      ],
      'below',
      (seen) => `pH was read at ${seen}`,
    ),
  'STL-COLD': ({ bearings }) => {
    const stated = value(bearings, 'temperature', temperatureDays) ?? bearings.facts.temperatureC;
    if (stated === undefined) return { ratio: 4, fact: 'nobody wrote the temperature down' };
    return past(
      stated,
      [
        [23, 2],
        [22, 8],
        [20, 15],
        [17, 25],
      ],
      'below',
      (seen) => `the water is at ${figure(seen)} °C`,
    );
  },
  'STL-HOT': ({ bearings }) =>
    past(
      value(bearings, 'temperature'),
      [
        [32, 5],
        [34, 25],
      ],
      'above',
      (seen) => `the water was at ${figure(seen)} °C`,
    ),
  'STL-TAN': ({ bearings }) => {
    const now = past(
      bearings.levels.ammonia.p50,
      [
        [3.5, 2],
        [4.5, 12],
      ],
      'above',
      () => `ammonia is ${levelBandWords(bearings, 'ammonia', bearings.levels.ammonia)}`,
    );
    const poured = past(
      mostPoured(bearings),
      [
        [5, 5],
        [8, 12],
      ],
      'above',
      (mgNL) => `doses within two days came to ${figure(mgNL)} mg/L of ammonia as N`,
    );
    return poured.ratio > now.ratio ? poured : now;
  },
  'STL-NO2': ({ bearings }) =>
    bearings.levels.ammonia.p50 < 0.3
      ? past(
          bearings.levels.nitrite.p50,
          [
            [3, 4],
            [5, 12],
          ],
          'above',
          () =>
            `ammonia clears, and nitrite stands at ${levelBandWords(bearings, 'nitrite', bearings.levels.nitrite)}`,
        )
      : absent,
  'STL-DEAD': ({ flatDays, bearings }) => {
    const { ratio, ...rest } = past(
      flatDays,
      [
        [7, 3],
        [10, 6],
        [16, 12],
        [25, 25],
      ],
      'above',
      (days) => `ammonia has stood still for ${Math.floor(days)} days and no nitrite has come`,
    );
    const fit = bearings.temperatureC >= 22 && bearings.levels.alkalinity.p50 >= 1.4;
    return { ...rest, ratio: fit ? ratio : 0.3 * ratio };
  },
  'STL-CL': ({ bearings }) => {
    const first = bearings.situation.problem.deeds.find(
      ({ kind }) => kind === 'ammonia' || kind === 'organic',
    );
    const before = bearings.facts.readings.some(
      (reading) =>
        first !== undefined &&
        reading.analyte === 'ammonia' &&
        (reading.at - bearings.situation.opened) / dayMs < first.day &&
        asNitrogen(reading.value ?? 0, reading.as ?? 'N') > 0.2,
    );
    // Kits show as much in clean water: how much it weighs, the supposition says.
    return when(before, 1.2, 'ammonia was read before anything had been fed', unseen);
  },
  'STL-CU': ({ bearings }) =>
    when(
      bearings.facts.notes.some(({ text }) => /copper|brass|second-hand|used (tank|rock)/i.test(text)),
      6,
      'a note speaks of copper, brass or second-hand things',
      unseen,
    ),
  'STL-MED': ({ bearings }) =>
    when(
      signsOf(bearings.facts, bearings.asOf, 14).some(({ sign }) => sign === 'medicine'),
      12,
      'a note of the last two weeks speaks of medicine',
    ),
  'STL-PO4': ({ bearings }) => {
    const phosphate = value(bearings, 'phosphate', phosphateDays);
    if (phosphate !== undefined)
      return when(phosphate < 0.02, 12, `phosphate was read at ${phosphate} mg/L`, absent);
    const bare =
      bearings.facts.surfaces.length > 0 &&
      bearings.facts.surfaces.every((one) => one.material !== 'live-rock');
    return when(
      bare && bearings.levels.nitrite.p50 > 2,
      2,
      'only new, dry surfaces, and nobody has tested phosphate',
      unseen,
    );
  },
  'STL-O2': ({ bearings }) => {
    const still = posture(bearings, 'flow') === 'off' || posture(bearings, 'aeration') === 'off';
    if (still) return { ratio: 8, fact: 'flow or air was last said to be off' };
    const cut = signsOf(bearings.facts, bearings.asOf, 10).some(({ sign }) => sign === 'power-cut');
    if (cut) return { ratio: 6, fact: 'a note of the last ten days speaks of a power cut' };
    return past(value(bearings, 'oxygen'), [[4, 12]], 'below', (seen) => `oxygen was read at ${seen} mg/L`);
  },
  'STL-SAL': ({ bearings }) => {
    const read = bearings.facts.readings.filter(
      ({ analyte, value }) => analyte === 'salinity' && value !== undefined,
    );
    const all = [...read.map((one) => one.value!), bearings.salinity];
    const step = Math.max(...all) - Math.min(...all);
    if (step > 5) return { ratio: 8, fact: `salinity moved by ${figure(step)}` };
    return when(
      bearings.salinity > 40 || (bearings.salinity < 20 && bearings.salinity > 5),
      12,
      `salinity is ${figure(bearings.salinity)}`,
    );
  },
  'STL-LIGHT': ({ bearings }) => {
    const light = posture(bearings, 'light');
    if (light === 'off') return absent;
    const { levels } = bearings;
    const gone = levels.freed.p50 - levels.ammonia.p50 - levels.nitrite.p50 - levels.nitrate.p50;
    const lost = gone > 0.3 * Math.max(0.5, levels.freed.p50 - levels.ammonia.p50);
    return when(
      lost,
      light === 'on' ? 10 : 3,
      'more ammonia has gone than nitrite and nitrate have come',
      light === 'on' ? { ratio: 0.8 } : unseen,
    );
  },
  'STL-KIT': ({ unexplained }) =>
    unexplained.length === 0
      ? { ratio: 0.3 }
      : {
          ratio: Math.min(20, 5 * unexplained.length),
          fact: `${unexplained.length} reading${unexplained.length > 1 ? 's fit' : ' fits'} nothing else that was read`,
        },
  'STL-INT': ({ unexplained, bearings }) => {
    const high = unexplained.some(({ analyte, higher }) => analyte === 'nitrate' && higher);
    return when(
      high || nitrateBeyondInput(bearings),
      10,
      'nitrate was read higher than all the nitrogen put in allows, while nitrite was high',
    );
  },
  'STL-UNIT': ({ bearings, nitriteBeyond }) => {
    if (nitriteBeyond !== undefined)
      return {
        ratio: 25,
        fact: `nitrite was read at more than ${figure(nitriteBeyond)} times all the nitrogen put in: its card probably counts NO2, not N`,
      };
    const off = riseFactor(bearings);
    const near =
      off === undefined
        ? undefined
        : [1.22, 1.29, 3.28, 4.43].find(
            (ratio) => Math.abs(Math.log(off / ratio)) < 0.06 || Math.abs(Math.log(off * ratio)) < 0.06,
          );
    return when(
      near !== undefined,
      2,
      `doses rise ${figure(off ?? 1)} times as far as they should: near the ratio of two ways of counting`,
    );
  },
  'STL-BIND': ({ bearings }) =>
    when(
      bearings.facts.doses.some(
        ({ substance, at }) => substance === 'binder' && hoursSince(bearings, at) < 72,
      ),
      15,
      'a binder was used within three days',
    ),
  'STL-VOL': ({ bearings, firstRise }) => {
    if (firstRise !== undefined)
      return {
        ratio: 15,
        fact: `the first dose rose about ${figure(firstRise)} times as far as the litres written down would have it`,
      };
    const off = riseFactor(bearings);
    if (off === undefined) return unseen;
    const far = Math.abs(Math.log(off));
    return when(
      far > 0.2,
      far > 0.35 ? 15 : 5,
      `doses rise ${figure(off)} times as far as the litres written down would have them`,
    );
  },
  'STL-SORB': ({ bearings, unexplained }) => {
    const { facts } = bearings;
    const early = facts.readings.some(
      (reading) =>
        unexplained.some(({ entry }) => entry === reading.entry) &&
        facts.doses.some((dose) => reading.at >= dose.at && reading.at - dose.at < 30 * 60_000),
    );
    return when(early, 10, 'a reading was taken within half an hour of a dose');
  },
  'STL-DIL': ({ bearings }) =>
    when(
      bearings.facts.exchanges.some(({ at }) => hoursSince(bearings, at) < 72),
      2,
      'water was changed within three days',
    ),
  'STL-SRC': ({ bearings, unfedDays }) => {
    const { p05, p50 } = bearings.levels.ammonia;
    return when(
      unfedDays > 5 &&
        p05 > 0.08 &&
        p50 < 0.8 &&
        bearings.levels.freed.p50 > 0.5 &&
        bearings.stage !== 'waking',
      8,
      `ammonia hovers at ${levelBandWords(bearings, 'ammonia', bearings.levels.ammonia)} though nothing was fed for ${Math.floor(unfedDays)} days`,
    );
  },
  'STL-UV': ({ bearings, flatDays }) => {
    const on = posture(bearings, 'uv') === 'on' || posture(bearings, 'ozone') === 'on';
    if (!on) return posture(bearings, 'uv') === 'off' ? absent : { ratio: 0.2 };
    return { ratio: flatDays > 5 ? 12 : 2, fact: 'the ultraviolet lamp or ozone was on' };
  },
  'STL-STARVE': ({ bearings, unfedDays }) =>
    // Only a dose that goes slowly afterwards would show it.
    when(
      unfedDays > 10 && bearings.ready > 0.8,
      1,
      `the bacteria had nothing for ${Math.floor(unfedDays)} days`,
    ),
  'STL-STOCKOVER': ({ bearings }) =>
    when(
      bearings.animals.present && bearings.levels.ammonia.p50 > 0.1,
      8,
      `animals are in the water and ammonia stands at ${levelBandWords(bearings, 'ammonia', bearings.levels.ammonia)}`,
    ),
};

/** How far doses rise against the litres written down, from the fit; undefined where no dose of known size was given. */
function riseFactor({ reckoning }: Bearings): number | undefined {
  const dose = valuesOf(reckoning.posterior, 'dose');
  const volume = valuesOf(reckoning.posterior, 'volume');
  return dose && volume ? bandOf(dose.map((strength, i) => strength / volume[i]!)).p50 : undefined;
}

/** Most ammonia poured in within two days, mg N/L, as it was written down. */
function mostPoured({ situation }: Bearings): number {
  const doses = situation.problem.deeds.flatMap((deed) =>
    deed.kind === 'ammonia' && deed.size.form === 'known'
      ? [{ day: deed.day, amount: deed.size.amount }]
      : [],
  );
  return doses.reduce((most, { day }) => {
    const together = doses.filter((other) => other.day >= day && other.day < day + 2);
    return Math.max(
      most,
      together.reduce((sum, { amount }) => sum + amount, 0),
    );
  }, 0);
}

/** Days within which a reading of nitrite says what the water was like when nitrate was read. */
const alongsideDays = 4;

/** Whether nitrate was read higher than all the nitrogen put in allows, with nitrite in the water. */
function nitrateBeyondInput({ facts, levels, situation }: Bearings): boolean {
  const inMg = ({ value, between, as }: ReadingBody, usual: 'NO2' | 'NO3'): number =>
    asNitrogen(value ?? between?.[0] ?? 0, as ?? usual);
  const nitrite = facts.readings.filter((one) => one.analyte === 'nitrite' && inMg(one, 'NO2') > 0.15);
  return facts.readings.some(
    (reading) =>
      reading.analyte === 'nitrate' &&
      reading.at > situation.opened + dayMs &&
      nitrite.some(({ at }) => Math.abs(at - reading.at) < alongsideDays * dayMs) &&
      inMg(reading, 'NO3') > 2 * levels.freed.p50 + 1,
  );
}
