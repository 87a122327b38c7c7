const RFC3339 =
  /^(\d{4})-(\d{2})-(\d{2})[Tt](\d{2}):(\d{2}):(\d{2})(?:\.(\d+))?(?:[Zz]|([+-])(\d{2}):(\d{2}))$/;

/**
 * Epoch milliseconds of an RFC 3339 instant with its offset, or undefined where the text is not one.
 * Digits past the millisecond are cut off in the reckoning (the text itself is kept by the journal);
 * a leap second counts as the first second of the next minute. Days that do not exist are refused.
 * Check: 1970-01-01T01:00:00+01:00 is 0; 2025-03-01T18:00:00Z is 1740852000000.
 */
export function instantMs(text: string): number | undefined {
  const match = RFC3339.exec(text);
  if (match === null) return undefined;
  // Read for every entry that arrives: without a list or a date made on the way.
  const [year, month, day] = [Number(match[1]), Number(match[2]), Number(match[3])];
  const [hour, minute, second] = [Number(match[4]), Number(match[5]), Number(match[6])];
  const [offsetHours, offsetMinutes] = [Number(match[9] ?? 0), Number(match[10] ?? 0)];
  if (hour > 23 || minute > 59 || second > 60 || offsetHours > 23 || offsetMinutes > 59) return undefined;
  const midnight = utcMidnight(year, month, day);
  if (midnight === undefined) return undefined;
  const milliseconds = match[7] === undefined ? 0 : Number(match[7].slice(0, 3).padEnd(3, '0'));
  const offset = (match[8] === '-' ? -1 : 1) * (offsetHours * 60 + offsetMinutes);
  return midnight + ((hour * 60 + minute - offset) * 60 + second) * 1000 + milliseconds;
}

/** RFC 3339 text in UTC with milliseconds, as this program writes instants. */
export const instantText = (epochMs: number): string => new Date(epochMs).toISOString();

/** The calendar repeats itself after 400 years, which are so many milliseconds. */
const FOUR_CENTURIES = 146_097 * 86_400_000;

/** Date.UTC reads years below 100 as 19xx and lets 30 February through; neither may happen here. */
function utcMidnight(year: number, month: number, day: number): number | undefined {
  if (month < 1 || month > 12 || day < 1 || day > daysIn(year, month)) return undefined;
  return Date.UTC(year + 400, month - 1, day) - FOUR_CENTURIES;
}

function daysIn(year: number, month: number): number {
  if (month === 2) return year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0) ? 29 : 28;
  return month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
}
