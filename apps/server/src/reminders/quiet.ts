import type { TankId } from '@brinewright/journal';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';

/** When nobody is to be told of a tank. Equal times: never quiet. */
export interface QuietHours {
  /** IANA name, "Europe/Lisbon". */
  readonly zone: string;
  /** Minutes after midnight, by the clock there. */
  readonly from: number;
  readonly until: number;
}

/** Nights by universal time, where nobody has said where the tank stands. */
const USUAL: QuietHours = { zone: 'UTC', from: 21 * 60, until: 7 * 60 };

export const isZone = (zone: string): boolean => {
  try {
    return new Intl.DateTimeFormat('en', { timeZone: zone }).format(0) !== '';
  } catch {
    return false;
  }
};

export function isQuiet({ zone, from, until }: QuietHours, now: number): boolean {
  const minute = minuteIn(zone, now);
  return from <= until ? minute >= from && minute < until : minute >= from || minute < until;
}

function minuteIn(timeZone: string, now: number): number {
  const clock = new Intl.DateTimeFormat('en-GB', {
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
    timeZone,
  });
  return minuteOf(clock.format(now));
}

/** "21:30" as 1290. */
export function minuteOf(time: string): number {
  const [hours, minutes] = time.split(':').map(Number) as [number, number];
  return hours * 60 + minutes;
}

export const timeOf = (minute: number): string =>
  [Math.floor(minute / 60), minute % 60].map((part) => String(part).padStart(2, '0')).join(':');

const HOURS = 'zone, from_minute as "from", until_minute as "until"';

export async function quietHoursOf({ database }: Services, tank: TankId): Promise<QuietHours> {
  return (
    (await first<QuietHours>(database, `select ${HOURS} from quiet_hours where tank = $1`, tank)) ?? USUAL
  );
}

/** Someone's own, which go before those of any tank; undefined where nothing was said. */
export const ownQuietHours = ({ database }: Services, person: string): Promise<QuietHours | undefined> =>
  first<QuietHours>(database, `select ${HOURS} from own_quiet_hours where account = $1`, person);

export const setQuietHours = (services: Services, tank: TankId, hours: QuietHours): Promise<void> =>
  keep(services, 'quiet_hours', 'tank', tank, hours);

export const setOwnQuietHours = (services: Services, person: string, hours: QuietHours): Promise<void> =>
  keep(services, 'own_quiet_hours', 'account', person, hours);

async function keep(
  { database }: Services,
  table: 'quiet_hours' | 'own_quiet_hours',
  key: 'tank' | 'account',
  whose: string,
  { zone, from, until }: QuietHours,
): Promise<void> {
  await database.run(
    `insert into ${table} (${key}, zone, from_minute, until_minute) values ($1, $2, $3, $4)
     on conflict (${key}) do update
     set zone = excluded.zone, from_minute = excluded.from_minute, until_minute = excluded.until_minute`,
    whose,
    zone,
    from,
    until,
  );
}
