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

/** Temperature, pH and oxygen of each day from 0 to today, straight lines between readings, level beyond them. */
export function surroundingsOf(facts: TankFacts, today: number): Surroundings[] {
  const salinity = salinityOf(facts);
  const temperature = pointsOf(facts, 'temperature', facts.temperatureC);
  const pH = pointsOf(facts, 'pH', facts.pH);
  const oxygen = pointsOf(facts, 'oxygen', undefined);
  const usualPH = salinity < freshBelow ? usual.freshPH : usual.seaPH;
  return Array.from({ length: Math.floor(Math.max(0, today)) + 1 }, (_, day) => ({
    temperatureC: valueOn(temperature, day, usual.temperatureC),
    pH: valueOn(pH, day, usualPH),
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
