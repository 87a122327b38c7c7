/**
 * From a fresh checkout to a running Brinewright: installs and builds what is missing, then serves the pages on
 * this machine only. PORT chooses the port; without it the first free one from 4270 is taken. Ctrl-C ends it.
 */
import { spawn } from 'node:child_process';
import { createServer, get } from 'node:http';
import { join } from 'node:path';
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

const answers = (address) =>
  new Promise((done) => {
    get(address, (response) => {
      response.resume();
      done(true);
    }).on('error', () => done(false));
  });

/** Runs the server until it ends or Ctrl-C; says where it is as soon as it answers. Resolves to an exit code. */
async function serve(port) {
  const env = { ...process.env, PORT: String(port), HOST: host };
  const server = spawn(process.execPath, [join(root, 'apps/server/dist/main.js')], {
    cwd: root,
    env,
    stdio: 'inherit',
  });
  const ended = new Promise((done) => server.on('exit', (code, signal) => done(signal ? 0 : (code ?? 1))));
  let running = true;
  void ended.then(() => {
    running = false;
  });
  for (const signal of ['SIGINT', 'SIGTERM'])
    process.on(signal, () => {
      // A terminal sends Ctrl-C to the server as well; a second signal does it no harm.
      if (running) server.kill(signal);
    });
  const address = `http://localhost:${port}/`;
  while (running && !(await answers(address))) await new Promise((next) => setTimeout(next, 100));
  if (running) console.log(`Brinewright is at ${address} (Ctrl-C ends it)`);
  return ended;
}

try {
  await ensureInstalled();
  console.log('Building …');
  await build();
  process.exitCode = await serve(await choosePort());
} catch (error) {
  console.error(error.message);
  process.exitCode = 1;
}
