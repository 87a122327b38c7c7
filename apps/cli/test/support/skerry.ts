import type { BandPoint, DrawnReading, Nutrient, Sheet } from '@brinewright/counsel';

const day0 = Date.UTC(2025, 1, 1, 9);
const at = (day: number): string => new Date(day0 + day * 86_400_000).toISOString();

/** A rise and a fall about the middle `mu`, as the levels of a start-up go. */
const bell = (day: number, top: number, mu: number, width: number): number =>
  top * Math.exp(-(((day - mu) / width) ** 2));

const levels: Readonly<Record<Nutrient, (day: number) => number>> = {
  ammonia: (day) => 2.1 / (1 + Math.exp((day - 8) * 0.9)),
  nitrite: (day) => bell(day, 2, 14, 6),
  nitrate: (day) => 0.3 + 2.1 / (1 + Math.exp((21 - day) * 0.35)),
};

function points(analyte: Nutrient): BandPoint[] {
  return Array.from({ length: 108 }, (_, day) => {
    const middle = levels[analyte](day);
    const spread = 0.1 + 0.25 * middle * (day > 17 ? 1.6 : 1);
    return {
      at: at(day),
      p05: Math.max(0, middle - spread),
      p25: Math.max(0, middle - spread / 3),
      p50: middle,
      p75: middle + spread / 3,
      p95: middle + spread,
    };
  });
}

const reading = (
  day: number,
  analyte: Nutrient,
  low: number,
  high: number | null,
  text: string,
): DrawnReading => ({
  entry: `01950001-0000-7000-8000-0000000000${String(day).padStart(2, '0')}`,
  at: at(day),
  analyte,
  low,
  high,
  text,
  surprise: 0.4,
});

/** A tank of the field station's teaching row on day 17, made by hand so that drawings of it stay the same. */
export const skerry: Sheet = {
  course: {
    tank: '01950001-0000-7000-8000-000000000001',
    asOf: at(17),
    stage: 'nitrite',
    ready: {
      p05: at(24),
      p50: at(27),
      p95: at(33),
      byDay: Array.from({ length: 90 }, (_, day) => ({
        at: at(17 + day),
        probability: 1 / (1 + Math.exp((10.5 - day) * 0.7)),
      })),
    },
    series: (['ammonia', 'nitrite', 'nitrate'] as const).map((analyte) => ({
      analyte,
      as: 'N',
      unit: 'mg/L',
      points: points(analyte),
    })),
    capacity: {
      ammonia: { unit: 'mg N/L/d', p05: 1.21, p50: 1.93, p95: 2.84 },
      nitrite: { unit: 'mg N/L/d', p05: 0.052, p50: 0.314, p95: 0.91 },
    },
    fit: { effectiveSamples: 412.3, logEvidence: -31.2, seconds: 2.4, readingsUsed: 15, warnings: [] },
  },
  sentence: 'Skerry turns ammonia over in a day. Nitrite is falling; ready between 25 Feb and 6 Mar.',
  emphasis: 'between 25 Feb and 6 Mar',
  footing: 'Day 17 of the start-up · 212 ± 11 L · 9 in 10 such tanks are ready inside the hatched window',
  footingParts: {
    day: 17,
    litres: { value: 212, sd: 11 },
    window: '9 in 10 such tanks are ready inside the hatched window',
  },
  readings: [
    reading(1, 'ammonia', 1.6, 3.3, 'between 2 and 4'),
    reading(4, 'ammonia', 1.6, 3.3, 'between 2 and 4'),
    reading(8, 'ammonia', 0.8, 1.6, 'between 1 and 2'),
    reading(11, 'ammonia', 0, 0.2, '0'),
    reading(14, 'ammonia', 0, 0.2, '0'),
    reading(4, 'nitrite', 0, 0.08, '0'),
    reading(8, 'nitrite', 0.3, 0.9, 'between 1 and 3'),
    reading(11, 'nitrite', 1.5, null, 'over 5'),
    reading(14, 'nitrite', 1.2, 2.4, 'between 4 and 8'),
    reading(17, 'nitrite', 1.1, 2.4, 'between 4 and 8'),
    reading(14, 'nitrate', 1.2, 2.8, 'between 5 and 12'),
  ],
  deeds: [
    { entry: 'a', at: at(0), kind: 'opened', text: 'opened' },
    { entry: 'b', at: at(0), kind: 'dose', text: 'dosed to 2 mg/L' },
    { entry: 'c', at: at(2), kind: 'culture', text: 'bottled culture' },
    { entry: 'd', at: at(13), kind: 'exchange', text: 'changed 20 L' },
  ],
  ledger: {
    unit: 'mg N',
    put: { p05: 801, p50: 861, p95: 922 },
    lines: [
      { place: 'food', p05: 0, p50: 0, p95: 0 },
      { place: 'ammonia', p05: 2, p50: 8, p95: 14 },
      { place: 'nitrite', p05: 357, p50: 402, p95: 447 },
      { place: 'nitrate', p05: 346, p50: 394, p95: 442 },
      { place: 'bacteria', p05: 39, p50: 57, p95: 75 },
      { place: 'taken out', p05: 0, p50: 0, p95: 0 },
      { place: 'gas and algae', p05: 0, p50: 0.4, p95: 2 },
    ],
    whole: true,
  },
  doubts: [
    'Nitrate on 15 Feb read between 5 and 12 mg/L as NO3 where under 3 was expected: nitrite colours a nitrate test, so this one says little.',
  ],
};
