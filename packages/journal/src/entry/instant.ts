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
  const [year, month, day, hour, minute, second] = match.slice(1, 7).map(Number) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  const offsetHours = Number(match[9] ?? 0);
  const offsetMinutes = Number(match[10] ?? 0);
  if (hour > 23 || minute > 59 || second > 60 || offsetHours > 23 || offsetMinutes > 59) return undefined;
  const midnight = utcMidnight(year, month, day);
  if (midnight === undefined) return undefined;
  const milliseconds = Number((match[7] ?? '').slice(0, 3).padEnd(3, '0'));
  const offset = (match[8] === '-' ? -1 : 1) * (offsetHours * 60 + offsetMinutes);
  return midnight + ((hour * 60 + minute - offset) * 60 + second) * 1000 + milliseconds;
}

/** RFC 3339 text in UTC with milliseconds, as this program writes instants. */
export const instantText = (epochMs: number): string => new Date(epochMs).toISOString();

/** Date.UTC reads years below 100 as 19xx and lets 30 February through; neither may happen here. */
function utcMidnight(year: number, month: number, day: number): number | undefined {
  const date = new Date(0);
  date.setUTCFullYear(year, month - 1, day);
  return date.getUTCMonth() === month - 1 && date.getUTCDate() === day ? date.getTime() : undefined;
}
