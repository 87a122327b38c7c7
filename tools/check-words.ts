/**
 * Fails where a tracked file names a place outside the project: a folder of somebody's machine, a package
 * registry's address, a path that climbs out of the checkout. Those work for one person and mean nothing to others.
 */
import { execFileSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));

/** What must not be written, and why. The expressions are spelled so that they do not find themselves. */
const rules: readonly { readonly pattern: RegExp; readonly why: string }[] = [
  { pattern: /(^|[^\w.$}*/-])[/](home|root|Users|work|tmp)[/]\w/, why: 'a folder of one machine' },
  { pattern: /\b[A-Z]:\\(Users|Documents)\\/, why: 'a folder of one machine' },
  { pattern: /[.][.][/]shared\b/, why: 'a folder outside the project' },
  { pattern: /\bregistry[.][\w-]+[.]\w+/, why: "a package registry's address" },
  { pattern: /\b(proxy|index)[.](golang|crates)[.]\w+/, why: "a package registry's address" },
  { pattern: /"resolved": "https?:/, why: 'a download address in the lock' },
  { pattern: /\b127[.]0[.]0[.]1:(?!PORT|\$|0\b)\d{4,5}\/npm\b/, why: "a package registry's address" },
  { pattern: /^(<{7}|>{7}) /m, why: 'a merge that was not finished' },
];

const binary = /[.](png|jpe?g|webp|woff2?|ico|gz|wasm|pdf)$/;

/** Paths of the project's files: those git tracks, or all outside built folders where there is no git. */
function projectFiles(): string[] {
  try {
    return execFileSync('git', ['ls-files', '-z'], { cwd: root, encoding: 'utf8' })
      .split('\0')
      .filter(Boolean);
  } catch {
    const built = /(^|[/\\])(node_modules|dist|coverage|[.]git)([/\\]|$)/;
    const entries = readdirSync(root, { recursive: true, withFileTypes: true });
    return entries
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name).slice(root.length))
      .filter((path) => !built.test(path));
  }
}

/** Faults of one file's text, as "line: why: the line". */
export function faultsIn(text: string): string[] {
  return text
    .split('\n')
    .flatMap((line, index) =>
      rules
        .filter(({ pattern }) => pattern.test(line))
        .map(({ why }) => `${index + 1}: ${why}: ${line.trim().slice(0, 100)}`),
    );
}

function main(): void {
  const files = projectFiles().filter((path) => !binary.test(path));
  if (files.length === 0) throw new Error('read no file: is this a checkout?');
  const faults = files.flatMap((path) => {
    const named = faultsIn(path).map((fault) => `${path}: in its name: ${fault}`);
    return [...named, ...faultsIn(readText(path)).map((fault) => `${path}:${fault}`)];
  });
  for (const fault of faults) console.error(fault);
  console.log(`${files.length} files read, ${faults.length} faults`);
  if (faults.length > 0) process.exitCode = 1;
}

/** A tracked file may have been deleted in the working tree; then there is nothing to read. */
function readText(path: string): string {
  try {
    return readFileSync(join(root, path), 'utf8');
  } catch {
    return '';
  }
}

if (process.argv[1]?.endsWith('check-words.ts')) main();
