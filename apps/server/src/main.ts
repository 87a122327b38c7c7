// Before any schema is made: entries arrive in hundreds, and compiled ones judge them in a third of the time.
import 'zod/compile';
import { start } from './start.ts';

await start(process.argv.slice(2), new URL('./reckoning.js', import.meta.url));
