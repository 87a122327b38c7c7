import {
  betweenInterval,
  cardOffset,
  eyeInterval,
  type Instrument,
  type Interval,
  type Observation,
  valueInterval,
} from '@brinewright/evidence';
import {
  asNitrogen,
  type KitBody,
  type NitrogenBasis,
  type ReadingBody,
  type Stamped,
  type TankFacts,
} from '@brinewright/journal';

export type NitrogenAnalyte = 'ammonia' | 'nitrite' | 'nitrate';
type Reading = Stamped<ReadingBody>;

/** The instruments a tank was read with and what they showed, as evidence takes them. */
export interface ReadingList {
  readonly instruments: readonly Instrument[];
  /** Which declared kit each instrument is, told so that the same kit of another tank is known again; null for none. */
  readonly kits: readonly (string | null)[];
  readonly observations: readonly Observation[];
  /** The reading each observation came from. */
  readonly from: readonly Reading[];
  readonly warnings: readonly string[];
}

/** mg N/L at which the scale of a kit of unknown card turns from even to geometric. */
const eyeOffsets: Record<NitrogenAnalyte, number> = { ammonia: 0.1, nitrite: 0.04, nitrate: 0.56 };
const meterFloorMgNL = 0.05;
const meterShare = 0.08;
const dayMs = 86_400_000;

export const isNitrogen = (analyte: string): analyte is NitrogenAnalyte =>
  analyte === 'ammonia' || analyte === 'nitrite' || analyte === 'nitrate';

/** Basis a kit's number counts where nobody said. */
export const usualBasis: Record<NitrogenAnalyte, NitrogenBasis> = {
  ammonia: 'N',
  nitrite: 'NO2',
  nitrate: 'NO3',
};

/** An instrument from a kit's description, in mg/L as N. */
export function instrumentOf(
  kit: Pick<KitBody, 'analyte' | 'as' | 'steps' | 'resolution'>,
): Instrument | undefined {
  if (kit.analyte === 'alkalinity')
    return { form: 'meter', analyte: 'alkalinity', floor: Math.max(0.15, kit.resolution ?? 0), share: 0.05 };
  if (!isNitrogen(kit.analyte)) return undefined;
  const { analyte } = kit;
  const basis = kit.as ?? usualBasis[analyte];
  if (kit.steps) return { form: 'card', analyte, steps: kit.steps.map((step) => asNitrogen(step, basis)) };
  if (kit.resolution === undefined) return { form: 'eye', analyte, offset: eyeOffsets[analyte] };
  const floor = Math.max(meterFloorMgNL, asNitrogen(kit.resolution, basis));
  return { form: 'meter', analyte, floor, share: meterShare };
}

/** Name under which readings share an instrument: their kit, or what they measure where none is declared. */
const instrumentName = (reading: ReadingBody): string => `${reading.analyte} ${reading.kit ?? ''}`;

/** The interval of sample levels a reading stands for, mg/L as N (meq/L for alkalinity). */
export function readingInterval(reading: ReadingBody, instrument: Instrument): Interval {
  const level = (value: number): number =>
    instrument.analyte === 'alkalinity'
      ? value
      : asNitrogen(value, reading.as ?? usualBasis[instrument.analyte]);
  const offset =
    instrument.form === 'card'
      ? cardOffset(instrument.steps)
      : instrument.form === 'eye'
        ? instrument.offset
        : 0.05;
  if (reading.over !== undefined) return { low: level(reading.over), high: Infinity };
  if (reading.under !== undefined) return { low: -Infinity, high: level(reading.under) };
  if (reading.between) return betweenInterval(level(reading.between[0]), level(reading.between[1]), offset);
  const value = level(reading.value ?? 0);
  if (instrument.form === 'card') return valueInterval(instrument.steps, value);
  return instrument.form === 'eye' ? eyeInterval(value, offset) : { low: value, high: value };
}

export function readingList(facts: TankFacts, today: number): ReadingList {
  const instruments: Instrument[] = [];
  const kits: (string | null)[] = [];
  const places = new Map<string, number>();
  const observations: Observation[] = [];
  const from: Reading[] = [];
  let early = 0;
  const opened = facts.opened ?? 0;
  for (const reading of facts.readings) {
    const day = (reading.at - opened) / dayMs;
    const instrument = instrumentFor(reading, facts);
    if (!instrument || day > today) continue;
    if (day < 0) {
      early++;
      continue;
    }
    const name = `${instrumentName(reading)} ${instrument.form}`;
    let place = places.get(name);
    if (place === undefined) {
      place = instruments.push(instrument) - 1;
      kits.push(kitName(reading, facts));
      places.set(name, place);
    }
    const { low, high } = readingInterval(reading, instrument);
    const spoilt = isSpoilt(reading, facts) && { doubt: spoiltDoubt };
    observations.push({
      day,
      instrument: place,
      low,
      high,
      shown: low,
      dilution: reading.dilution ?? 1,
      ...spoilt,
    });
    from.push(reading);
  }
  const warnings =
    early > 0
      ? [`${early} reading${early > 1 ? 's' : ''} from before the tank was opened left out of the fit`]
      : [];
  return { instruments, kits, observations, from, warnings };
}

/** A declared kit told by its name and all that was said of it. */
function kitName({ kit }: Reading, { kits }: TankFacts): string | null {
  const declared = kit === undefined ? undefined : kits.get(kit);
  if (declared === undefined) return null;
  const { analyte, as, steps, resolution } = declared;
  return JSON.stringify([kit, analyte, as ?? null, steps ?? null, resolution ?? null]);
}

/** For so long after an ammonia binder the kits' reagents may show anything (docs/science/readings.md). */
const binderDays = 3;
/** Chance that such a reading says nothing. Judgement. */
const spoiltDoubt = 0.5;

const isSpoilt = ({ analyte, at }: Reading, { doses }: TankFacts): boolean =>
  analyte === 'ammonia' &&
  doses.some((dose) => dose.substance === 'binder' && at >= dose.at && at - dose.at < binderDays * dayMs);

/** A meter that shows a bound rather than a number is read like an eye. */
function instrumentFor(reading: Reading, facts: TankFacts): Instrument | undefined {
  const kit = reading.kit === undefined ? undefined : facts.kits.get(reading.kit);
  const instrument = instrumentOf(kit ?? { analyte: reading.analyte, as: reading.as });
  if (instrument?.form !== 'meter' || reading.value !== undefined) return instrument;
  return isNitrogen(instrument.analyte)
    ? { form: 'eye', analyte: instrument.analyte, offset: eyeOffsets[instrument.analyte] }
    : undefined;
}
