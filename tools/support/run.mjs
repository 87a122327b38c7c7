import { spawn } from 'node:child_process';
import { delimiter, join } from 'node:path';
import { root } from './root.mjs';

const windows = process.platform === 'win32';

/**
 * Runs a program in the checkout with its output passed through, tools of the checkout first on the path.
 * Resolves to its exit code: 127 where it could not be started, 128 and more where a signal ended it.
 */
export function run(command, args, { env = {}, cwd = root, stdio = 'inherit' } = {}) {
  const path = `${join(root, 'node_modules', '.bin')}${delimiter}${process.env.PATH ?? ''}`;
  return new Promise((done) => {
    const child = spawn(command, args, {
      cwd,
      stdio,
      shell: windows,
      env: { ...process.env, PATH: path, ...env },
    });
    child.on('error', (error) => {
      process.stderr.write(`${command}: ${error.message}\n`);
      done(127);
    });
    child.on('exit', (code, signal) => done(code ?? (signal === 'SIGINT' ? 130 : 143)));
  });
}
