import type { TankFacts } from '@brinewright/journal';
import type { Surroundings } from '@brinewright/nitrogen';

const dayMs = 86_400_000;
/** What a tank is taken to be where nobody measured. */
const usual = { temperatureC: 25, salinity: 35, seaPH: 8.1, freshPH: 7.6, oxygenMgL: 6.7 } as const;
const freshBelow = 5;

interface Point {
  readonly day: number;
  readonly value: number;
}

/** Days in which a pH that nobody read again comes back half way to what is usual: air and water changes see to it. */
const pHReturnsInDays = 3;
/** Days past today for which a pH on its way back is followed. */
const followedDays = 21;
/** Share of the water that, when changed, brings its own pH. */
const largeExchange = 0.3;

/**
 * Temperature, pH and oxygen of each day from 0, straight lines between readings. Beyond the last reading temperature
 * and oxygen stay as they were read; pH returns to what is usual, at once where the water was buffered or changed.
 */
export function surroundingsOf(facts: TankFacts, today: number): Surroundings[] {
  const salinity = salinityOf(facts);
  const temperature = pointsOf(facts, 'temperature', facts.temperatureC);
  const usualPH = facts.pH ?? (salinity < freshBelow ? usual.freshPH : usual.seaPH);
  const pH = renewed(facts, pointsOf(facts, 'pH', facts.pH), usualPH);
  const oxygen = pointsOf(facts, 'oxygen', undefined);
  return Array.from({ length: Math.floor(Math.max(0, today)) + 1 + followedDays }, (_, day) => ({
    temperatureC: valueOn(temperature, day, usual.temperatureC),
    pH: returning(pH, day, usualPH),
    oxygenMgL: valueOn(oxygen, day, usual.oxygenMgL),
    salinity,
  }));
}

export function salinityOf(facts: TankFacts): number {
  const read = facts.readings.findLast(
    (reading) => reading.analyte === 'salinity' && reading.value !== undefined,
  );
  return facts.salinity ?? read?.value ?? usual.salinity;
}

/** Readings of one analyte by day; a declared value stands for the opening where no reading is as early. */
function pointsOf(facts: TankFacts, analyte: string, declared: number | undefined): Point[] {
  const opened = facts.opened ?? 0;
  const points = facts.readings
    .filter((reading) => reading.analyte === analyte && reading.value !== undefined)
    .map((reading) => ({ day: (reading.at - opened) / dayMs, value: reading.value ?? 0 }));
  const first = points[0];
  return declared !== undefined && (!first || first.day > 1)
    ? [{ day: 0, value: declared }, ...points]
    : points;
}

/** A buffer dose or a large water change at or after the last pH reading: the pH of before says nothing any more. */
function renewed(facts: TankFacts, points: readonly Point[], usualPH: number): readonly Point[] {
  const last = points.at(-1);
  if (!last) return points;
  const opened = facts.opened ?? 0;
  const renewals = [
    ...facts.doses.filter((dose) => dose.substance === 'bicarbonate' || dose.substance === 'carbonate'),
    ...facts.exchanges.filter((exchange) => (exchange.fraction ?? 0) >= largeExchange),
  ].map((deed) => (deed.at - opened) / dayMs);
  const latest = Math.max(-1, ...renewals);
  return latest >= last.day ? [...points, { day: latest + 1e-3, value: usualPH }] : points;
}

/** A pH on its way back to the usual one after its last reading. */
function returning(points: readonly Point[], day: number, usualPH: number): number {
  const value = valueOn(points, day, usualPH);
  const since = day + 0.5 - (points.at(-1)?.day ?? day);
  if (since <= 0) return value;
  const back = usualPH + (value - usualPH) * Math.exp((-Math.LN2 * since) / pHReturnsInDays);
  // Hundredths: no pH is known better, and equal days need no stop of their own.
  return Math.round(100 * back) / 100;
}

function valueOn(points: readonly Point[], day: number, otherwise: number): number {
  const middle = day + 0.5;
  const after = points.findIndex((point) => point.day > middle);
  if (points.length === 0) return otherwise;
  const next = points[after];
  const previous = after < 0 ? points.at(-1) : points[after - 1];
  if (!next || !previous) return (next ?? previous)?.value ?? otherwise;
  const share = (middle - previous.day) / (next.day - previous.day);
  return previous.value + share * (next.value - previous.value);
}
