import { effect } from '@preact/signals';
import { entries } from '../state/journal.ts';
import { person } from '../state/person.ts';
import { askAgain, remember, sharing, trouble, waiting } from '../state/sharing.ts';
import { Refusal, sayError, Unreachable } from './ask.ts';
import { followRounds, within } from './rounds.ts';
import { askWhere, meet, runOnce } from './run.ts';

/** Between two looks at the server while the page is looked at. */
const CALM_MS = 60_000;

let running = false;
let wanted = false;
/** Whether this page knows what serves it, and who is signed in there. */
let met = false;

/** Synchronises from now on: after what is written, with the network back, when looked at, and now and then. */
export function share(): void {
  askAgain.value = () => {
    met = false;
    soon();
  };
  addEventListener('online', soon);
  document.addEventListener('visibilitychange', soonIfSeen);
  setInterval(soonIfSeen, CALM_MS);
  effect(() => {
    if (entries.value.length > 0 && waiting.peek() > 0) soon();
  });
  followRounds();
  soon();
}

const soonIfSeen = (): void => {
  if (!document.hidden) soon();
};

/** Once more, after what is under way. */
function soon(): void {
  wanted = true;
  if (!running) void turns();
}

async function turns(): Promise<void> {
  running = true;
  while (wanted) {
    wanted = false;
    await oneTabAtATime(turn);
  }
  running = false;
}

const oneTabAtATime = async (work: () => Promise<void>): Promise<void> => {
  if ('locks' in navigator) await navigator.locks.request('brinewright.sharing', work);
  else await work();
};

async function turn(): Promise<void> {
  try {
    if (!met) meet(await askWhere());
    met = true;
    if (sharing.peek().server === 'shared' && person.peek().now === null) {
      trouble.value = undefined;
      return;
    }
    within.value = true;
    await runOnce();
    trouble.value = undefined;
  } catch (error) {
    met = false;
    within.value = false;
    tell(error);
  }
}

function tell(error: unknown): void {
  if (error instanceof Unreachable) trouble.value = { kind: 'unreachable' };
  else if (!(error instanceof Refusal)) trouble.value = { kind: 'failed', why: sayError(error) };
  else if (error.kind === 'not-signed-in') trouble.value = { kind: 'signed-out' };
  else if (sharing.peek().agreedAt === null && ['not-ours', ''].includes(error.kind))
    remember({ server: 'none' });
  else trouble.value = { kind: 'failed', why: error.message };
}
