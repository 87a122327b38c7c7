import { createHash } from 'node:crypto';

/** A secret nobody can guess: 256 bits, as 43 characters that may stand in an address. */
export const newSecret = (random: (bytes: number) => Uint8Array): string =>
  Buffer.from(random(32)).toString('base64url');

/** What is kept of a secret. It has too many bits to be guessed, so a plain digest is enough. */
export const digestOf = (secret: string): string => createHash('sha256').update(secret).digest('hex');
