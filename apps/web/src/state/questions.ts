import type { Alternative, Cause, Idea, Prediction, Sheet } from '@brinewright/counsel';
import type { TankId } from '@brinewright/journal';
import type { Ask, Brought, FromWorker } from '../workers/protocol.ts';
import { begin, callOff, taskFor } from './worker.ts';

/** Work under way that can be left. */
export interface Asked<T> {
  /** Undefined where it was called off. @throws Error where the question cannot be answered */
  readonly answer: Promise<T | undefined>;
  readonly leave: () => void;
}

type OnFraction = (fraction: number) => void;
type Question = Parameters<typeof begin>[0];

/** Where an idea would take a tank; its course is reckoned first where the worker does not hold it. */
export const supposeFor = (tank: TankId, idea: Idea, onFraction: OnFraction): Asked<Alternative> =>
  inSteps({ kind: 'suppose', tank, idea }, onFraction, (message) =>
    message.kind === 'supposed' ? message.alternative : undefined,
  );

/** What may hold a tank up whose course the worker holds, likeliest first. */
export const explainFor = (tank: TankId, onFraction: OnFraction): Asked<readonly Cause[]> =>
  inSteps({ kind: 'explain', tank }, onFraction, (message) =>
    message.kind === 'explained' ? message.causes : undefined,
  );

/** What the sheet said at an earlier instant, from what was written by then. */
export const recall = (tank: TankId, asOf: number, onFraction: OnFraction): Asked<Sheet> =>
  inSteps({ kind: 'recall', ...taskFor(tank, asOf) }, onFraction, (message) =>
    message.kind === 'recalled' ? message.sheet : undefined,
  );

/** What readings taken then would show; undefined where the worker has no course to say it from. */
export async function expectReadings(
  tank: TankId,
  asks: readonly Ask[],
): Promise<readonly (Prediction | null)[] | undefined> {
  const message = await ask({ kind: 'expect', tank, asks });
  return message.kind === 'expected' ? message.predictions : undefined;
}

/** Reads a journal file and keeps what is sound, away from the page's own thread. @throws Error where it cannot */
export async function bringElsewhere(text: string): Promise<Brought> {
  const message = await ask({ kind: 'bring', text });
  if (message.kind === 'brought') return message.brought;
  throw refusalOf(message);
}

/** Reads a journal file away from the page's own thread. @throws Error where it cannot be read at all */
export async function parseElsewhere(text: string) {
  const message = await ask({ kind: 'parse', text });
  if (message.kind === 'parsed') return message;
  throw refusalOf(message);
}

const refusalOf = (message: FromWorker): Error =>
  new Error(message.kind === 'failed' ? message.why : message.kind);

const ask = (question: Question): Promise<FromWorker> =>
  new Promise((resolve) => {
    begin(question, resolve);
  });

function inSteps<T>(
  question: Question,
  onFraction: OnFraction,
  take: (message: FromWorker) => T | undefined,
): Asked<T> {
  let request = 0;
  const answer = new Promise<T | undefined>((resolve, reject) => {
    request = begin(question, (said) => {
      if (said.kind === 'progress') onFraction(said.fraction);
      else if (said.kind === 'failed') reject(new Error(said.why));
      else resolve(take(said));
    });
  });
  return { answer, leave: () => callOff(request) };
}
