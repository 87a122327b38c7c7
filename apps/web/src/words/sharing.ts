import { sharing } from './en/sharing.ts';

/** What is said of the server and the crew; loaded with the code for it. */
export type SharingWords = typeof sharing;

export const sharingWords: SharingWords = sharing;
