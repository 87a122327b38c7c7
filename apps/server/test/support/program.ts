/** The server as people run it: bundled, in a process of its own. */
import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, writeFileSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

const { bundle, programs } = (await import(
  new URL('../../../../tools/support/bundle.mjs', import.meta.url).href
)) as {
  bundle(program: object): Promise<string>;
  programs: Record<'server' | 'reckoning', { entry: string; out: string; external: string[] }>;
};

const root = fileURLToPath(new URL('../../../../', import.meta.url));

/** Bundles the server into a folder of its own under apps/server, with a page to serve. */
export async function builtProgram(): Promise<string> {
  const parent = `${root}apps/server/dist`;
  mkdirSync(parent, { recursive: true });
  const folder = mkdtempSync(`${parent}/test-`);
  mkdirSync(`${folder}/web/dist/site`, { recursive: true });
  writeFileSync(`${folder}/web/dist/site/index.html`, '<!doctype html><title>the page</title>');
  // As in a checkout: the program lies in server/dist, the pages beside it in web/dist/site.
  const out = `${folder.slice(root.length)}/server/dist`;
  await bundle({ ...programs.server, out: `${out}/main.js` });
  await bundle({ ...programs.reckoning, out: `${out}/reckoning.js` });
  return `${out}/main.js`;
}

export interface Running {
  readonly process: ChildProcess;
  readonly address: string;
  /** Exit code, once it has ended; null where a signal ended it. */
  readonly ended: Promise<number | null>;
  /** Lines of the log so far. */
  readonly said: string[];
  /** Waits for a line of standard output; gives the first group of what it matches. */
  line(pattern: RegExp): Promise<string>;
}

/**
 * Starts the program and waits until it says where it is.
 * @param mostKilobytes that any file may grow to
 */
export async function startProgram(
  program: string,
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
  mostKilobytes?: number,
): Promise<Running> {
  const command = [process.execPath, `${root}${program}`, '--port', '0', ...args];
  const limited =
    mostKilobytes === undefined
      ? command
      : ['/bin/bash', '-c', `trap '' XFSZ; ulimit -f ${mostKilobytes}; exec "$@"`, 'limited', ...command];
  const child = spawn(limited[0] as string, limited.slice(1), {
    env: { PATH: process.env.PATH, HOME: '/nonexistent', ...env },
    // The channel ends the program when this process does, however that happens.
    stdio: ['ignore', 'pipe', 'pipe', 'ipc'],
  });
  const said: string[] = [];
  const ended = once(child, 'exit').then(([code]) => code as number | null);
  createInterface({ input: child.stderr! }).on('line', (line) => said.push(line));
  const told: string[] = [];
  createInterface({ input: child.stdout! }).on('line', (line) => told.push(line));
  const line = async (pattern: RegExp): Promise<string> => {
    let over = false;
    void ended.then(() => {
      over = true;
    });
    for (;;) {
      const last = over;
      const found = told.map((one) => pattern.exec(one)?.[1]).find((one) => one !== undefined);
      if (found !== undefined) return found;
      if (last) throw new Error(`the server ended with ${await ended}: ${said.join('\n')}`);
      await new Promise((resolve) => setTimeout(resolve, 10));
    }
  };
  return { process: child, address: await line(/^Serving at (\S+)$/), ended, said, line };
}
