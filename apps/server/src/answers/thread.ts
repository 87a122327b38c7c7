import { constants, setPriority } from 'node:os';
import { parentPort } from 'node:worker_threads';
import { answer } from './answer.ts';
import type { Question, Reckoned } from './reckoner.ts';

/** What a thread sends back: what it reckoned, or that it failed. */
export type Sent = { readonly reckoned: Reckoned } | { readonly failed: string };

/** Answers questions on a thread of their own, one after another, until it is ended. */
export function answerQuestions(): void {
  stepBack();
  parentPort?.on('message', (question: Question) => {
    const sent: Sent = attempt(question);
    parentPort?.postMessage(sent);
  });
}

/** Serving goes before reckoning. Linux alone keeps a priority for each thread; elsewhere it would be the program's. */
function stepBack(): void {
  if (process.platform === 'linux') setPriority(constants.priority.PRIORITY_BELOW_NORMAL);
}

function attempt(question: Question): Sent {
  try {
    return { reckoned: answer(question) };
  } catch (error) {
    return { failed: error instanceof Error ? (error.stack ?? error.message) : String(error) };
  }
}
