/** A mosquitto of the test's own, with TLS under a certificate made for it, in a folder that goes away with it. */
import { execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { chmodSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { connect as connectSecurely } from 'node:tls';

const tools: { aptInstall(packages: string[], remedy: string): Promise<void> } = await import(
  new URL('../../../../tools/support/debian.mjs', import.meta.url).href
);

const PLACES = ['/usr/sbin/mosquitto', '/usr/local/sbin/mosquitto', '/opt/homebrew/sbin/mosquitto'];

export interface Broker {
  /** "mqtts://localhost:…" */
  readonly url: string;
  /** File with the certificate of the authority that signed the broker's. */
  readonly trust: string;
  /** Like `trust`, of an authority that signed nothing here. */
  readonly otherTrust: string;
  stop(): Promise<void>;
}

/** Undefined, with the reason printed, where mosquitto is not there and cannot be installed. */
export async function brokerOrNone(): Promise<Broker | undefined> {
  try {
    return await startBroker();
  } catch (error) {
    console.log(`Skipped, mosquitto cannot be had here: ${error instanceof Error ? error.message : error}`);
    return undefined;
  }
}

async function startBroker(): Promise<Broker> {
  const program = await programPath();
  const folder = mkdtempSync(join(tmpdir(), 'brinewright-broker-'));
  chmodSync(folder, 0o755);
  const trust = authority(folder, 'authority');
  const otherTrust = authority(folder, 'stranger');
  certificate(folder);
  const port = await freePort();
  const file = (name: string): string => join(folder, name);
  const settings = [
    `listener ${port} 127.0.0.1`,
    'allow_anonymous true',
    `certfile ${file('broker.pem')}`,
    `keyfile ${file('broker.key')}`,
    `user ${process.getuid?.() === 0 ? 'root' : 'nobody'}`,
  ];
  writeFileSync(file('mosquitto.conf'), `${settings.join('\n')}\n`);
  const broker = spawn(program, ['-c', file('mosquitto.conf')], { stdio: 'ignore' });
  const ended = once(broker, 'exit');
  await listening(port, trust);
  return {
    url: `mqtts://localhost:${port}`,
    trust,
    otherTrust,
    async stop() {
      broker.kill('SIGTERM');
      await ended;
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

async function programPath(): Promise<string> {
  const find = () => PLACES.find((place) => existsSync(place));
  if (find() === undefined)
    await tools.aptInstall(
      ['mosquitto', 'openssl'],
      'Install mosquitto to run the tests of probes over TLS.',
    );
  const found = find();
  if (found === undefined) throw new Error('mosquitto is not where it should be');
  return found;
}

const openssl = (folder: string, args: string): void =>
  void execFileSync('openssl', args.split(' '), { cwd: folder, stdio: 'ignore' });

const KEY = '-newkey ec -pkeyopt ec_paramgen_curve:P-256 -nodes';

function authority(folder: string, name: string): string {
  openssl(folder, `req -x509 ${KEY} -days 2 -subj /CN=${name} -keyout ${name}.key -out ${name}.pem`);
  return join(folder, `${name}.pem`);
}

function certificate(folder: string): void {
  openssl(folder, `req ${KEY} -subj /CN=localhost -keyout broker.key -out broker.csr`);
  writeFileSync(join(folder, 'names.txt'), 'subjectAltName=DNS:localhost\n');
  openssl(
    folder,
    'x509 -req -in broker.csr -CA authority.pem -CAkey authority.key -CAcreateserial -days 2 ' +
      '-extfile names.txt -out broker.pem',
  );
}

async function freePort(): Promise<number> {
  const server = createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address() as AddressInfo;
  server.close();
  return port;
}

async function listening(port: number, trust: string): Promise<void> {
  for (let tries = 0; ; tries++) {
    const socket = connectSecurely({
      port,
      host: '127.0.0.1',
      servername: 'localhost',
      ca: readFileSync(trust),
    });
    try {
      await once(socket, 'secureConnect');
      return;
    } catch (error) {
      if (tries === 100) throw error;
      await new Promise((resolve) => setTimeout(resolve, 50));
    } finally {
      socket.destroy();
    }
  }
}
