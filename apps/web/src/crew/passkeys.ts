import {
  browserSupportsWebAuthn,
  type PublicKeyCredentialCreationOptionsJSON,
  type PublicKeyCredentialRequestOptionsJSON,
  startAuthentication,
  startRegistration,
} from '@simplewebauthn/browser';
import { ask, Refusal } from '../sharing/ask.ts';
import { sharingWords } from '../words/sharing.ts';

interface Ceremony<Options> {
  readonly ceremony: string;
  readonly options: Options;
}

export const hasPasskeys = (): boolean => browserSupportsWebAuthn();

/** Makes a passkey on this device. @param path where its options and its keeping are asked for @throws Refusal */
export async function makePasskey(options: string, keep: string, about: object): Promise<void> {
  const { ceremony, options: optionsJSON } = await ask<Ceremony<PublicKeyCredentialCreationOptionsJSON>>(
    'POST',
    options,
    about,
  );
  const answer = await given(() => startRegistration({ optionsJSON }));
  await ask('POST', keep, { ...about, ceremony, answer });
}

/** Signs in with a passkey of this device. @throws Refusal */
export async function usePasskey(): Promise<void> {
  const { ceremony, options: optionsJSON } = await ask<Ceremony<PublicKeyCredentialRequestOptionsJSON>>(
    'POST',
    '/api/sessions/passkey-options',
  );
  const answer = await given(() => startAuthentication({ optionsJSON }));
  await ask('POST', '/api/sessions/passkey', { ceremony, answer });
}

/** What the device gives; that it gave none is told in words. */
async function given<T>(work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch {
    throw new Refusal(0, 'not-given', sharingWords.door.notGiven, []);
  }
}
