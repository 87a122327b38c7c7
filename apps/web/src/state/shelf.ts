import type { Idea, Order, Sheet } from '@brinewright/counsel';
import type { Learnt } from './lore.ts';
import type { ServerRound } from './rounds.ts';

/** An answer as it was when it was reckoned. It can be thrown away at any time: the journal is what counts. */
export interface Shelved {
  readonly sheet: Sheet;
  /** What to do, most urgent first; undefined until it has been weighed for the first time. */
  readonly orders: readonly Order[] | undefined;
  /** Whether the orders rest on the course before this one, or on this one but for what may hold the tank up. */
  readonly weighed: 'before' | 'in part' | 'whole';
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
/** What was learnt of kits, by the tank it was learnt for. */
const LORES = 'lores';
/** Raised when the shape of an answer changes: what lies on the shelf is then thrown away and reckoned again. */
const VERSION = 5;

function open(): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => {
      const db = request.result;
      for (const table of [TABLE, ROUNDS, LORES]) {
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

/** Every answer on the shelf, by tank; empty where the browser keeps nothing. */
export const readShelf = (): Promise<ReadonlyMap<string, Shelved>> => readAll(TABLE);

/** All that was learnt of kits, by tank. */
export const readLores = (): Promise<ReadonlyMap<string, Learnt>> => readAll(LORES);

async function readAll<T>(name: string): Promise<ReadonlyMap<string, T>> {
  try {
    const table = (await open()).transaction(name).objectStore(name);
    const [keys, values] = await Promise.all([done(table.getAllKeys()), done<T[]>(table.getAll())]);
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

export const putRounds = (rounds: readonly ServerRound[]): Promise<void> => put(ROUNDS, ROUNDS, rounds);
export const putOnShelf = (tank: string, answer: Shelved): Promise<void> => put(TABLE, tank, answer);
export const putLore = (tank: string, learnt: Learnt): Promise<void> => put(LORES, tank, learnt);

async function put(name: string, key: string, value: unknown): Promise<void> {
  try {
    await done((await open()).transaction(name, 'readwrite').objectStore(name).put(value, key));
  } catch {
    // It will be told, reckoned or learnt again.
  }
}

function done<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}
