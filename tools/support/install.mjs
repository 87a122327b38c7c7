import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { root } from './root.mjs';
import { run } from './run.mjs';

const readPackages = (file) => JSON.parse(readFileSync(file, 'utf8')).packages;

/**
 * True where every package the lock asks for is there in the version it asks for. npm leaves a list of what it
 * installed in node_modules; comparing it with the lock is surer than comparing dates, which a checkout resets.
 */
function isInstalled(folder = root) {
  const have = join(folder, 'node_modules', '.package-lock.json');
  if (!existsSync(have)) return false;
  const installed = readPackages(have);
  return Object.entries(readPackages(join(folder, 'package-lock.json'))).every(([path, wanted]) => {
    if (!path.startsWith('node_modules/') || wanted.link) return true;
    const found = installed[path];
    return found ? found.version === wanted.version : wanted.optional === true || wanted.peer === true;
  });
}

/** Installs what the lock names, where that has not been done yet. Throws with the remedy where it cannot. */
export async function ensureInstalled() {
  if (isInstalled()) return;
  console.log('Installing what package-lock.json names (once) …');
  const code = await run('npm', ['ci', '--include=dev', '--no-audit', '--no-fund']);
  if (code !== 0) throw new Error(`npm ci ended with ${code}: see its message above, then try again.`);
}
