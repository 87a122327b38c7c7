import { createHash } from 'node:crypto';
import { type Entry, instantText, newEntryId, type TankId } from '@brinewright/journal';
import { newId } from '../crew/accounts.ts';
import { digestOf, newSecret } from '../crew/secret.ts';
import { keepEntries } from '../entries/keep.ts';
import { Fault } from '../http/problem.ts';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';
import { NOTHING_HEARD, type Sample, type ThinSettings, type ThinState, thin, type Why } from './thin.ts';

export type ProbeAnalyte = 'temperature' | 'pH' | 'salinity';

const HOUR = 3_600_000;

/**
 * Usual thinning: about the error of a good instrument as dead band, and what a tank that still runs can show at all
 * as limits. °C, pH, practical salinity.
 */
export const USUAL: Readonly<Record<ProbeAnalyte, ThinSettings>> = {
  temperature: { deadBand: 0.2, longestGap: 6 * HOUR, low: 5, high: 40, jump: 3 },
  pH: { deadBand: 0.05, longestGap: 6 * HOUR, low: 6, high: 10, jump: 0.5 },
  salinity: { deadBand: 0.3, longestGap: 12 * HOUR, low: 1, high: 60, jump: 3 },
};

export interface Probe {
  readonly tank: TankId;
  readonly id: string;
  readonly name: string;
  readonly analyte: ProbeAnalyte;
  readonly settings: ThinSettings;
  readonly state: ThinState;
}

interface ProbeRow {
  readonly tank: TankId;
  readonly id: string;
  readonly name: string;
  readonly analyte: ProbeAnalyte;
  readonly settings: string;
  readonly state: string;
  readonly outbox: string;
  readonly version: number;
}

const COLUMNS = 'tank, id, name, analyte, settings, state, outbox, version';

const probeOf = ({ tank, id, name, analyte, settings, state }: ProbeRow): Probe => ({
  tank,
  id,
  name,
  analyte,
  settings: JSON.parse(settings),
  state: JSON.parse(state),
});

/** A probe of a tank. It is declared in the journal as an instrument, under its name. */
export async function addProbe(
  services: Services,
  tank: TankId,
  name: string,
  analyte: ProbeAnalyte,
): Promise<{ probe: Probe; secret: string }> {
  const { database, now, random } = services;
  const secret = newSecret(random);
  const probe: Probe = {
    tank,
    id: newId(services),
    name,
    analyte,
    settings: USUAL[analyte],
    state: NOTHING_HEARD,
  };
  await database.run(
    `insert into probe (tank, id, name, analyte, secret, settings, state, outbox, version, created)
     values ($1, $2, $3, $4, $5, $6, $7, '[]', 0, $8)`,
    tank,
    probe.id,
    name,
    analyte,
    digestOf(secret),
    JSON.stringify(probe.settings),
    JSON.stringify(NOTHING_HEARD),
    now(),
  );
  const at = instantText(now());
  const kit = { kit: name, analyte, note: 'A probe that sends by itself.' };
  await keepEntries(services, [
    { id: newId(services), tank, at, recorded: at, by: probe.id, kind: 'kit', body: kit },
  ]);
  return { probe, secret };
}

export async function probesOf({ database }: Services, tank: TankId): Promise<readonly Probe[]> {
  const rows = await database.all<ProbeRow>(
    `select ${COLUMNS} from probe where tank = $1 order by name, id`,
    tank,
  );
  return rows.map(probeOf);
}

export interface Received {
  readonly written: readonly Sample[];
  readonly aside: readonly (Sample & { readonly why: Why })[];
  /** Believed, and not written because they say nothing new. */
  readonly thinned: number;
}

/** Goes on from the same state so often where other processes were quicker. */
const MOST_TRIES = 20;

/**
 * Takes values of the probe that has this secret. What is to be written goes with the state into the database first,
 * so that of two processes only one goes on from it, and then into the journal; where that fails in between, whoever
 * hears the probe next writes it. It has ids of its own, and so is never there twice.
 * @throws Fault where no probe has the secret
 */
export async function receive(
  services: Services,
  secret: string,
  samples: readonly Sample[],
): Promise<Received> {
  const { database, metrics, now } = services;
  for (let tries = 0; tries < MOST_TRIES; tries++) {
    const row = await first<ProbeRow>(
      database,
      `select ${COLUMNS} from probe where secret = $1`,
      digestOf(secret),
    );
    if (row === undefined) throw new Fault('wrong-credentials', 'No probe has this token.');
    const probe = probeOf(row);
    const { state, written, aside } = thin(probe.state, samples, probe.settings, now());
    const outbox: readonly Sample[] = [...JSON.parse(row.outbox), ...written];
    const moved = await database.run(
      `update probe set state = $1, outbox = $2, version = version + 1
       where tank = $3 and id = $4 and version = $5`,
      JSON.stringify(state),
      JSON.stringify(outbox),
      row.tank,
      row.id,
      row.version,
    );
    if (moved === 0) continue;
    if (outbox.length > 0) await emptyOutbox(services, probe, outbox, row.version + 1);
    await keepAside(services, probe, aside);
    const thinned = samples.length - written.length - aside.length;
    metrics.count('brinewright_probe_values_total', { became: 'written' }, written.length);
    metrics.count('brinewright_probe_values_total', { became: 'aside' }, aside.length);
    metrics.count('brinewright_probe_values_total', { became: 'thinned' }, thinned);
    return { written, aside, thinned };
  }
  throw new Fault('too-busy', 'Send the values again.', [], { 'Retry-After': '1' });
}

/** Where the probe was heard again meanwhile, whoever heard it has this in its outbox too, and empties it. */
async function emptyOutbox(
  services: Services,
  probe: Probe,
  outbox: readonly Sample[],
  version: number,
): Promise<void> {
  await keepEntries(
    services,
    outbox.map((sample) => readingOf(probe, sample)),
  );
  await services.database.run(
    "update probe set outbox = '[]' where tank = $1 and id = $2 and version = $3",
    probe.tank,
    probe.id,
    version,
  );
}

/** The entry follows from the probe and the value alone, its id too, so that writing it again changes nothing. */
function readingOf({ id, tank, name, analyte }: Probe, { at, value }: Sample): Entry {
  const random = createHash('sha256').update(`${id} ${at}`).digest().subarray(0, 10);
  return {
    id: newEntryId(at, random),
    tank,
    at: instantText(at),
    by: id,
    kind: 'reading',
    body: { analyte, value, kit: name },
  };
}

/** So many are kept for each probe: the newest. */
const MOST_ASIDE = 1000;

async function keepAside(
  { database }: Services,
  { tank, id }: Probe,
  aside: Received['aside'],
): Promise<void> {
  if (aside.length === 0) return;
  for (const { at, value, why } of aside)
    await database.run(
      `insert into probe_aside (tank, probe, at, value, why) values ($1, $2, $3, $4, $5) on conflict do nothing`,
      tank,
      id,
      at,
      String(value),
      why,
    );
  await database.run(
    `delete from probe_aside where tank = $1 and probe = $2 and at < (
       select min(at) from (
         select at from probe_aside where tank = $1 and probe = $2 order by at desc limit ${MOST_ASIDE}) newest)`,
    tank,
    id,
  );
}
