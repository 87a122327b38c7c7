/** A tank of five years and some five thousand entries, as a journal file's lines: a made-up but usual keeping. */
export const longTank = '0197c000-0000-7000-8000-0000000000d1';

const DAY_MS = 86_400_000;
const YEARS = 5;

export function longJournal(now = Date.now()): string[] {
  const days = YEARS * 365;
  const opened = now - days * DAY_MS;
  const lines: string[] = ['{"journal":1}'];
  const add = (day: number, kind: string, body: object): void => {
    const at = new Date(opened + day * DAY_MS).toISOString();
    const id = `0197c000-${lines.length.toString(16).padStart(4, '0')}-7000-8000-0000000000d2`;
    lines.push(JSON.stringify({ id, tank: longTank, at, recorded: at, kind, body }));
  };
  add(0, 'tank', {
    name: 'Holm',
    litres: { value: 400, sd: 15 },
    salinity: 35,
    temperatureC: 25,
    route: 'salt+culture',
  });
  for (const { kit, analyte, as, steps } of kits) add(0, 'kit', { kit, analyte, as, steps });
  add(0.1, 'culture', { source: 'bottled' });
  add(0.2, 'dose', { substance: 'ammonium-chloride', nitrogenMg: 800 });
  for (let day = 1; day < days; day++) everyDay(day, add);
  return lines;
}

const kits = [
  { kit: 'ammonia-drops', analyte: 'ammonia', as: 'N', steps: [0, 0.25, 0.5, 1, 2, 4] },
  { kit: 'nitrite-drops', analyte: 'nitrite', as: 'NO2', steps: [0, 0.25, 0.5, 1, 2, 5] },
  { kit: 'nitrate-drops', analyte: 'nitrate', as: 'NO3', steps: [0, 5, 10, 20, 40, 80] },
] as const;

const young = 45;
const stocked = 50;

function everyDay(day: number, add: (day: number, kind: string, body: object) => void): void {
  const read = (analyte: string, as: string, value: number): void =>
    add(day + 0.4, 'reading', { analyte, as, kit: `${analyte}-drops`, value });
  if (day < young && day % 3 === 0) {
    read('ammonia', 'N', day < 12 ? 2 : 0);
    read('nitrite', 'NO2', day < 9 ? 0 : day < 33 ? 5 : 0);
  }
  if (day === stocked)
    add(day, 'arrival', { animals: [{ class: 'small_planktivore_clownfish', count: 2, lengthCm: 5 }] });
  if (day > stocked) add(day + 0.3, 'food', { what: 'pellet', grams: 0.6 });
  if (day > stocked && day % 14 === 0) {
    add(day + 0.5, 'exchange', { fraction: 0.15 });
    read('nitrate', 'NO3', 10);
  }
  if (day % 28 === 0) read('ammonia', 'N', 0);
  if (day % 28 === 0) add(day + 0.45, 'reading', { analyte: 'salinity', value: 35 });
  add(day + 0.6, 'topoff', { litres: 3 });
  if (day % 2 === 0) add(day + 0.35, 'reading', { analyte: 'temperature', value: 25 + (day % 5) / 5 });
}
