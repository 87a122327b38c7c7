import { existsSync, readFileSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { run } from './run.mjs';

const onPath = (name) =>
  (process.env.PATH ?? '')
    .split(delimiter)
    .map((folder) => join(folder, name))
    .find((file) => existsSync(file));

const chromiumNames = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable'];
const macChrome = '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome';

/** Path of a Chromium to drive: the CHROMIUM variable, else the usual places; undefined where there is none. */
export function findChromium() {
  const named = process.env.CHROMIUM;
  if (named) {
    if (!existsSync(named)) throw new Error(`CHROMIUM names ${named}, which does not exist.`);
    return named;
  }
  return chromiumNames.map(onPath).find(Boolean) ?? (existsSync(macChrome) ? macChrome : undefined);
}

/** For a Chromium that tests drive: it asks nobody but them for anything. */
export const browserFlags = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

function isDebian() {
  if (!existsSync('/etc/os-release')) return false;
  return /^ID(_LIKE)?=.*debian/m.test(readFileSync('/etc/os-release', 'utf8'));
}

/** Installs Debian packages where we may; throws with what the person has to do where we may not. */
export async function aptInstall(packages, remedy) {
  if (!isDebian() || process.getuid?.() !== 0) throw new Error(remedy);
  const env = { DEBIAN_FRONTEND: 'noninteractive' };
  console.log(`Installing ${packages.join(', ')} …`);
  // A failed update may still leave a usable list: the install decides.
  await run('apt-get', ['update', '-qq'], { env });
  const code = await run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...packages], {
    env,
  });
  if (code !== 0) throw new Error(`apt-get could not install ${packages.join(', ')}. ${remedy}`);
}

/** A Chromium's path, installing Debian's where that is possible. */
export async function ensureChromium() {
  const found = findChromium();
  if (found) return found;
  await aptInstall(
    ['chromium'],
    'Install Chromium, or set CHROMIUM to the path of one, to run the browser tests.',
  );
  const installed = findChromium();
  if (!installed) throw new Error('Chromium was installed but is not on the path: set CHROMIUM to its path.');
  return installed;
}
