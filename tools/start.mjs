/**
 * From a fresh checkout to a running Brinewright: installs and builds what is missing, then serves the pages on
 * this machine only. PORT chooses the port; without it the first free one from 4270 is taken. Ctrl-C ends it.
 */
import { spawn } from 'node:child_process';
import { createServer } from 'node:net';
import { ensureInstalled } from './support/install.mjs';
import { root } from './support/root.mjs';
import { run } from './support/run.mjs';

const host = '127.0.0.1';
const firstPort = 4270;
const lastPort = firstPort + 99;

const isFree = (port) =>
  new Promise((done) => {
    const probe = createServer();
    probe.once('error', () => done(false));
    probe.listen(port, host, () => probe.close(() => done(true)));
  });

async function choosePort() {
  const wanted = process.env.PORT;
  if (wanted !== undefined && wanted !== '') {
    const port = Number(wanted);
    if (!Number.isInteger(port) || port < 1 || port > 65535)
      throw new Error(`PORT is "${wanted}": it must be a whole number from 1 to 65535.`);
    if (await isFree(port)) return port;
    throw new Error(`Port ${port} is taken: choose another with PORT, or leave PORT out.`);
  }
  for (let port = firstPort; port <= lastPort; port += 1) if (await isFree(port)) return port;
  throw new Error(`Every port from ${firstPort} to ${lastPort} is taken: choose one with PORT.`);
}

async function build() {
  const { bundle, programs } = await import('./support/bundle.mjs');
  await Promise.all(Object.values(programs).map(bundle));
  const code = await run('vite', ['build', 'apps/web', '--logLevel', 'warn']);
  if (code !== 0) throw new Error('The pages could not be built: see the message above.');
}

/** Runs the server, which says where it is, until it ends or Ctrl-C. Resolves to an exit code. */
function serve(port) {
  const env = { ...process.env, PORT: String(port), HOST: host };
  const server = spawn(process.execPath, ['apps/server/dist/main.js'], { cwd: root, env, stdio: 'inherit' });
  // A terminal sends Ctrl-C to the server as well; being told twice does it no harm.
  for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => server.kill(signal));
  return new Promise((done) => server.on('exit', (code, signal) => done(signal ? 0 : (code ?? 1))));
}

try {
  await ensureInstalled();
  const port = await choosePort();
  console.log('Building …');
  await build();
  process.exitCode = await serve(port);
} catch (error) {
  console.error(error.message);
  process.exitCode = 1;
}
