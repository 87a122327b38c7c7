/** Small journals of the field station's teaching tanks, written line by line. */

export const skerryId = '01950001-0000-7000-8000-000000000001';
export const holmId = '01950001-0000-7000-8000-000000000f01';

const id = (number: number): string => `01950001-0000-7000-8000-${number.toString(16).padStart(12, '0')}`;
const day = (days: number): string => new Date(Date.UTC(2025, 1, 1, 9) + days * 86_400_000).toISOString();

export interface Line {
  readonly number: number;
  readonly day: number;
  readonly kind: string;
  readonly body: object;
  readonly tank?: string;
}

export const lineText = ({ number, day: at, kind, body, tank = skerryId }: Line): string =>
  JSON.stringify({ id: id(number), tank, at: day(at), kind, body });

export const header = '{"journal":1}';

/** A journal file of some lines, each an entry or raw text. */
export const journal = (...lines: readonly (Line | string)[]): string =>
  `${[header, ...lines.map((line) => (typeof line === 'string' ? line : lineText(line)))].join('\n')}\n`;

export const tank = (number: number, name: string, over: object = {}, id = skerryId): Line => ({
  number,
  day: 0,
  kind: 'tank',
  body: {
    name,
    litres: { value: 212, sd: 11 },
    temperatureC: 25,
    salinity: 35,
    pH: 8.1,
    route: 'salt+culture',
    ...over,
  },
  tank: id,
});

export const kit = (
  number: number,
  name: string,
  analyte: string,
  as: string,
  steps: readonly number[],
): Line => ({
  number,
  day: 0,
  kind: 'kit',
  body: { kit: name, analyte, as, steps },
});

export const reading = (number: number, at: number, analyte: string, as: string, value: number): Line => ({
  number,
  day: at,
  kind: 'reading',
  body: { analyte, as, kit: `${analyte}-drops`, value },
});

export const dose = (number: number, at: number, nitrogenMg: number): Line => ({
  number,
  day: at,
  kind: 'dose',
  body: { substance: 'ammonium-chloride', nitrogenMg },
});

/** Two weeks of Skerry: dosed to 2 mg/L, ammonia falling, nitrite risen. */
export const skerryJournal = journal(
  tank(2, 'Skerry'),
  kit(3, 'ammonia-drops', 'ammonia', 'N', [0, 0.25, 0.5, 1, 2, 4, 8]),
  kit(4, 'nitrite-drops', 'nitrite', 'NO2', [0, 0.25, 0.5, 1, 2, 5]),
  kit(5, 'nitrate-drops', 'nitrate', 'NO3', [0, 5, 10, 20, 40, 80, 160]),
  dose(6, 0, 424),
  { number: 7, day: 1, kind: 'culture', body: { source: 'bottled' } },
  reading(8, 1, 'ammonia', 'N', 2),
  reading(9, 5, 'ammonia', 'N', 2),
  reading(10, 5, 'nitrite', 'NO2', 0.25),
  reading(11, 9, 'ammonia', 'N', 1),
  reading(12, 9, 'nitrite', 'NO2', 2),
  reading(13, 13, 'ammonia', 'N', 0),
  reading(14, 13, 'nitrite', 'NO2', 5),
);
