import { mixingEn } from './en/mixing.ts';

/** The mixing room's chapter of the catalogue. It is loaded with the room, so that the first view stays light. */
export type MixingWords = typeof mixingEn;

export const mixingWords: MixingWords = mixingEn;
