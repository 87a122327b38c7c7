import { promisify } from 'node:util';

/** Lets what has arrived meanwhile have its turn: a promise that is settled already does not. */
export const breath = promisify(setImmediate);
