/** Starts the program that is named, with a channel to it, says its process and where it is, and waits to be killed. */
import { spawn } from 'node:child_process';
import { createInterface } from 'node:readline';

const [program = '', ...args] = process.argv.slice(2);
const child = spawn(process.execPath, [program, ...args], { stdio: ['ignore', 'pipe', 'inherit', 'ipc'] });
for await (const line of createInterface({ input: child.stdout! })) console.log(`${child.pid} ${line}`);
