import type { Idea, Order, Sheet } from '@brinewright/counsel';
import type { ServerRound } from './rounds.ts';

/** An answer as it was when it was reckoned. It can be thrown away at any time: the journal is what counts. */
export interface Shelved {
  readonly sheet: Sheet;
  /** What to do, most urgent first; undefined until it has been weighed for the first time. */
  readonly orders: readonly Order[] | undefined;
  /** What can be asked beside the plan. */
  readonly ideas: readonly Idea[];
  readonly reckonedAt: number;
  /** How many entries of the tank it has seen; a journal only grows, so this tells whether it is up to date. */
  readonly seen: number;
}

const NAME = 'brinewright-answers';
const TABLE = 'answers';
/** Holds one list: the rounds the server last told. */
const ROUNDS = 'rounds';
/** Raised when the shape of an answer changes: what lies on the shelf is then thrown away and reckoned again. */
const VERSION = 3;

function open(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => {
      const db = request.result;
      for (const table of [TABLE, ROUNDS]) {
        if (db.objectStoreNames.contains(table)) db.deleteObjectStore(table);
        db.createObjectStore(table);
      }
    };
    request.onsuccess = () => {
      request.result.onversionchange = () => request.result.close();
      resolve(request.result);
    };
    request.onblocked = () => reject(new Error('another page still holds the shelf'));
    request.onerror = () => reject(request.error);
  });
}

/** Everything on the shelf, by tank; empty where the browser keeps nothing. */
export async function readShelf(): Promise<ReadonlyMap<string, Shelved>> {
  try {
    const table = (await open()).transaction(TABLE).objectStore(TABLE);
    const [keys, values] = await Promise.all([done(table.getAllKeys()), done<Shelved[]>(table.getAll())]);
    return new Map(keys.map((key, i) => [String(key), values[i]!]));
  } catch {
    return new Map();
  }
}

/** The rounds the server last told; empty where it never did. */
export async function readRounds(): Promise<readonly ServerRound[]> {
  try {
    return (await done((await open()).transaction(ROUNDS).objectStore(ROUNDS).get(ROUNDS))) ?? [];
  } catch {
    return [];
  }
}

export async function putRounds(rounds: readonly ServerRound[]): Promise<void> {
  try {
    await done((await open()).transaction(ROUNDS, 'readwrite').objectStore(ROUNDS).put(rounds, ROUNDS));
  } catch {
    // The server will tell them again.
  }
}

export async function putOnShelf(tank: string, answer: Shelved): Promise<void> {
  try {
    await done((await open()).transaction(TABLE, 'readwrite').objectStore(TABLE).put(answer, tank));
  } catch {
    // It will be reckoned again.
  }
}

function done<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}
