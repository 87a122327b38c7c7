import { start } from './start.ts';

await start(process.argv.slice(2), new URL('./reckoning.js', import.meta.url));
