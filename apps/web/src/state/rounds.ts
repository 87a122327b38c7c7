import type { TankId } from '@brinewright/journal';
import { signal } from '@preact/signals';
import { readRounds } from './shelf.ts';

/** Where a tank stands, as the server last reckoned it. */
export interface ServerRound {
  readonly tank: TankId;
  readonly name: string | null;
  /** RFC 3339; null where nothing was reckoned yet. */
  readonly asOf: string | null;
  /** False while it is being reckoned anew. */
  readonly current: boolean;
  readonly stage: string | null;
  readonly ready: {
    readonly p05: string | null;
    readonly p50: string | null;
    readonly p95: string | null;
  } | null;
  readonly sentence: string;
  readonly order: { readonly say: string; readonly when: string; readonly urgency: string } | null;
}

/** The rounds the server last told, by tank; empty where there is no server or it has not answered yet. */
export const serverRounds = signal<ReadonlyMap<TankId, ServerRound>>(new Map());

/** Puts the rounds of the last visit in place. */
export async function takeRounds(): Promise<void> {
  serverRounds.value = new Map((await readRounds()).map((round) => [round.tank, round]));
}

/** Whether somebody looks at the rounds: only then is the server asked for them. */
export const roundsSeen = signal(false);
