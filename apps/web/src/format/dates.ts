import { lazily } from './lazily.ts';

/** Dates as a person reads them. Everything that prints a date asks one of these, so that a test can fix the place. */

export interface Dates {
  /** "27 Feb" */
  readonly day: (at: number) => string;
  /** "Tue 24 Nov" */
  readonly weekday: (at: number) => string;
  /** "08:40" */
  readonly clock: (at: number) => string;
  /** "Tuesday" */
  readonly longWeekday: (at: number) => string;
  /** "24 November 2026, 08:40" */
  readonly full: (at: number) => string;
  /** Hour of the day, 0–23, where the reader is. */
  readonly hour: (at: number) => number;
}

/** @param locale a BCP 47 tag; undefined takes the reader's own. @param timeZone an IANA zone; undefined likewise. */
export function datesIn(locale?: string, timeZone?: string): Dates {
  const printer = (options: Intl.DateTimeFormatOptions) => {
    const format = lazily(
      () => new Intl.DateTimeFormat(locale, timeZone === undefined ? options : { ...options, timeZone }),
    );
    return (at: number) => format().format(at);
  };
  const hour = printer({ hour: 'numeric', hourCycle: 'h23' });
  return {
    day: printer({ day: 'numeric', month: 'short' }),
    weekday: printer({ weekday: 'short', day: 'numeric', month: 'short' }),
    clock: printer({ hour: '2-digit', minute: '2-digit' }),
    longWeekday: printer({ weekday: 'long' }),
    full: printer({ day: 'numeric', month: 'long', year: 'numeric', hour: '2-digit', minute: '2-digit' }),
    hour: (at) => Number.parseInt(hour(at), 10),
  };
}

export const DAY_MS = 86_400_000;

/** The value a `datetime-local` field takes: wall-clock time where the reader is, to the minute. */
export function localField(at: number): string {
  const shifted = new Date(at - new Date(at).getTimezoneOffset() * 60_000);
  return shifted.toISOString().slice(0, 16);
}

/** RFC 3339 with the reader's own offset, so that a journal says what time it was *there*. */
export function instantHere(at: number): string {
  const minutes = -new Date(at).getTimezoneOffset();
  const sign = minutes < 0 ? '-' : '+';
  const two = (n: number) => String(Math.trunc(n)).padStart(2, '0');
  const wall = new Date(at + minutes * 60_000).toISOString().slice(0, 19);
  return `${wall}${sign}${two(Math.abs(minutes) / 60)}:${two(Math.abs(minutes) % 60)}`;
}
