import { isMainThread } from 'node:worker_threads';
import { answerQuestions } from './answers/thread.ts';
import { start } from './start.ts';

// One program for both: a reckoning thread is this same file, run again beside the main thread.
if (isMainThread) await start(process.argv.slice(2), new URL(import.meta.url));
else answerQuestions();
