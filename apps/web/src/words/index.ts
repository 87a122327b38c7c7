import { en } from './en/index.ts';

/** The catalogue every language fills: a missing phrase is a type error. */
export type Words = typeof en;

export const words: Words = en;
