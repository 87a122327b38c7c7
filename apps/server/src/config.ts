import { homedir } from 'node:os';
import { join } from 'node:path';
import { Command, InvalidArgumentError } from 'commander';
import { newPushKey, type PushKeys, pushKeysOf } from './push/keys.ts';
import type { Mode } from './services.ts';

/** What the server was started with. */
export interface Config {
  readonly port: number;
  readonly host: string;
  readonly mode: Mode;
  /** Folder of the SQLite file; not used with `databaseUrl`. */
  readonly data: string;
  /** A PostgreSQL database; several processes may share it. */
  readonly databaseUrl: string | undefined;
  readonly metricsToken: string | undefined;
  /** Broker that probes publish to; undefined: none is listened to. */
  readonly mqttUrl: string | undefined;
  /** File with the certificates to trust its broker by, PEM; undefined: those the machine trusts. */
  readonly mqttTrust: string | undefined;
  /** What reminders are signed with; undefined: none are sent. */
  readonly push: PushKeys | undefined;
  /** Instead of serving: a file to copy all that is kept into, or one to put back. */
  readonly copyTo: string | undefined;
  readonly restoreFrom: string | undefined;
}

/** Thrown for a setting that cannot be used, in words for whoever starts the server. */
export class ConfigError extends Error {
  override readonly name = 'ConfigError';
}

type Environment = Readonly<Record<string, string | undefined>>;

interface Flags {
  readonly port: number;
  readonly host: string;
  readonly data: string;
  readonly shared?: boolean;
  readonly origin?: string;
  readonly proxy?: boolean;
  readonly newPushKey?: boolean;
  readonly copyTo?: string;
  readonly restoreFrom?: string;
}

const LOOPBACK = /^(localhost|127(\.\d{1,3}){3}|::1)$/;

/** Asked for something that is said instead of serving. */
export class SaidInstead extends Error {
  override readonly name = 'SaidInstead';
}

/**
 * Reads flags and environment; a flag wins.
 * @throws SaidInstead with a new key, where one is asked for
 * @throws ConfigError where they cannot be used, CommanderError for an unknown flag or `--help`
 */
export function readConfig(args: readonly string[], env: Environment): Config {
  const flags = command(env).parse(args, { from: 'user' }).opts<Flags>();
  if (flags.newPushKey) throw new SaidInstead(`PUSH_KEY=${newPushKey()}`);
  mayCopy(flags, env);
  const mode = modeOf(flags);
  if (!mode.shared && !LOOPBACK.test(flags.host))
    throw new ConfigError(
      `Alone, the server asks for no sign-in and so listens to this machine only, not to ${flags.host}. ` +
        'Start it with --shared and --origin to let others in.',
    );
  return {
    port: flags.port,
    host: flags.host,
    mode,
    data: flags.data,
    databaseUrl: env.DATABASE_URL || undefined,
    metricsToken: env.METRICS_TOKEN || undefined,
    mqttUrl: env.MQTT_URL || undefined,
    mqttTrust: env.MQTT_TRUST || undefined,
    push: pushOf(env, mode),
    copyTo: flags.copyTo,
    restoreFrom: flags.restoreFrom,
  };
}

function command(env: Environment): Command {
  return new Command('brinewright serve')
    .description('keeps journals of many devices in one place, and serves the pages')
    .option('--port <n>', 'port to listen to; 0 takes a free one (PORT)', portOf, portOf(env.PORT || '4270'))
    .option('--host <address>', 'address to listen to (HOST)', env.HOST || '127.0.0.1')
    .option(
      '--data <folder>',
      'where the journal is kept (BRINEWRIGHT_DATA)',
      env.BRINEWRIGHT_DATA || usualFolder(env),
    )
    .option(
      '--shared',
      'several people, each with an account (BRINEWRIGHT_SHARED=1)',
      env.BRINEWRIGHT_SHARED === '1' || undefined,
    )
    .option(
      '--origin <url>',
      'the address people reach a shared server at (BRINEWRIGHT_ORIGIN)',
      env.BRINEWRIGHT_ORIGIN,
    )
    .option(
      '--proxy',
      'a proxy notes callers in X-Forwarded-For (BRINEWRIGHT_PROXY=1)',
      env.BRINEWRIGHT_PROXY === '1' || undefined,
    )
    .option('--new-push-key', 'print a new key to sign reminders with, for PUSH_KEY, and end')
    .option('--copy-to <file>', 'copy all that is kept into a new file, also while a server runs, and end')
    .option('--restore-from <file>', 'put such a copy into an empty --data folder, and end')
    .addHelpText(
      'after',
      '\nFrom the environment alone: DATABASE_URL (a PostgreSQL database instead of the folder), METRICS_TOKEN' +
        '\n(opens /metrics on a shared server), MQTT_URL (broker of probes; one server listens), MQTT_TRUST (file of' +
        '\ncertificates to trust it by), PUSH_KEY (signs reminders; without it none are sent), PUSH_CONTACT (whom push' +
        '\nservices may turn to, "mailto:…"; a shared server gives its own address).',
    )
    .exitOverride();
}

function mayCopy({ copyTo, restoreFrom }: Flags, env: Environment): void {
  if (copyTo === undefined && restoreFrom === undefined) return;
  if (copyTo !== undefined && restoreFrom !== undefined)
    throw new ConfigError('Ask for --copy-to or for --restore-from, not for both at once.');
  if (env.DATABASE_URL)
    throw new ConfigError(
      'DATABASE_URL is set: copy a PostgreSQL database with pg_dump and put it back with pg_restore.',
    );
}

function portOf(text: string): number {
  const port = Number(text);
  if (!/^\d+$/.test(text) || port > 65535)
    throw new InvalidArgumentError(`"${text}" must be a whole number from 0 to 65535.`);
  return port;
}

function modeOf({ shared, origin, proxy }: Flags): Mode {
  if (!shared) return { shared: false };
  if (origin === undefined || !URL.canParse(origin) || new URL(origin).origin !== origin.replace(/\/$/, ''))
    throw new ConfigError(
      'A shared server needs --origin, the address people reach it at: https://tanks.example',
    );
  const url = new URL(origin);
  if (url.protocol !== 'https:' && url.hostname !== 'localhost')
    throw new ConfigError(
      `People sign in at ${origin}: that has to be https, by a proxy that ends TLS before this server.`,
    );
  return { shared: true, origin: url.origin, behindProxy: proxy === true };
}

function pushOf(env: Environment, mode: Mode): PushKeys | undefined {
  const key = env.PUSH_KEY || undefined;
  if (key === undefined) return undefined;
  const contact = env.PUSH_CONTACT || (mode.shared && mode.origin.startsWith('https:') ? mode.origin : '');
  if (!/^(mailto:.+@.+|https:\/\/.+)$/.test(contact))
    throw new ConfigError(
      'Push services ask whom to turn to: set PUSH_CONTACT to an address such as mailto:keeper@tanks.example.',
    );
  try {
    return pushKeysOf(key, contact);
  } catch {
    throw new ConfigError('PUSH_KEY is no key: make one with "brinewright serve --new-push-key".');
  }
}

/** Where programs keep what belongs to a person (XDG Base Directory). */
const usualFolder = (env: Environment): string =>
  join(env.XDG_DATA_HOME || join(homedir(), '.local', 'share'), 'brinewright');
