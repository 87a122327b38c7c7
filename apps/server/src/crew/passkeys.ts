import {
  type AuthenticationResponseJSON,
  generateAuthenticationOptions,
  generateRegistrationOptions,
  type PublicKeyCredentialCreationOptionsJSON,
  type PublicKeyCredentialRequestOptionsJSON,
  type RegistrationResponseJSON,
  verifyAuthenticationResponse,
  verifyRegistrationResponse,
} from '@simplewebauthn/server';
import { Fault } from '../http/problem.ts';
import type { Services } from '../services.ts';
import { first, type Sql } from '../sql/database.ts';
import { newId } from './accounts.ts';

/** How long a device may take to sign, ms. */
const PATIENCE = 5 * 60_000;

/** What to do next, the same whatever did not fit. */
const MAKE_ANEW = 'Make the passkey anew, or set a password instead.';
const USE_ANOTHER =
  'Use another passkey, or your name and password. Where a device of yours is still signed in, set a ' +
  'password there, in the Workshop; else ask a keeper of the tank for a new invitation.';

interface Ceremony<Options> {
  /** To be sent back with the device's answer. */
  readonly ceremony: string;
  readonly options: Options;
}

/** What the device needs to make a passkey (Web Authentication, level 3). */
export async function offerPasskey(
  services: Services,
  name: string,
  account: string | undefined,
): Promise<Ceremony<PublicKeyCredentialCreationOptionsJSON>> {
  const { rpID } = party(services);
  const held =
    account === undefined
      ? []
      : await services.database.all<{ id: string }>('select id from passkey where account = $1', account);
  const options = await generateRegistrationOptions({
    rpName: 'Brinewright',
    rpID,
    userName: name,
    attestationType: 'none',
    excludeCredentials: held.map(({ id }) => ({ id })),
    authenticatorSelection: { residentKey: 'required', userVerification: 'preferred' },
  });
  return { ceremony: await begin(services, options.challenge, account), options };
}

export interface MadePasskey {
  readonly id: string;
  readonly publicKey: string;
  readonly counter: number;
  readonly transports: string;
}

/** The passkey a device made. @throws Fault where it is not what was asked for */
export async function madePasskey(
  services: Services,
  ceremony: string,
  response: RegistrationResponseJSON,
  account: string | undefined,
): Promise<MadePasskey> {
  const begun = await take(services, ceremony);
  if (begun.account !== (account ?? null)) throw new Fault('wrong-credentials', MAKE_ANEW);
  const { rpID, origin } = party(services);
  const { verified, registrationInfo } = await sound(MAKE_ANEW, () =>
    verifyRegistrationResponse({
      response,
      expectedChallenge: begun.challenge,
      expectedOrigin: origin,
      expectedRPID: rpID,
      requireUserVerification: false,
    }),
  );
  if (!verified || registrationInfo === undefined) throw new Fault('wrong-credentials', MAKE_ANEW);
  const { id, publicKey, counter, transports = [] } = registrationInfo.credential;
  return {
    id,
    publicKey: Buffer.from(publicKey).toString('base64url'),
    counter,
    transports: transports.join(' '),
  };
}

export async function keepPasskey(
  { now }: Services,
  sql: Sql,
  account: string,
  { id, publicKey, counter, transports }: MadePasskey,
): Promise<void> {
  const kept = await sql.run(
    `insert into passkey (id, account, public_key, counter, transports, created)
     values ($1, $2, $3, $4, $5, $6) on conflict do nothing`,
    id,
    account,
    publicKey,
    counter,
    transports,
    now(),
  );
  if (kept === 0) throw new Fault('already-so', 'That passkey is kept here already.');
}

/** What a device needs to prove that it holds a passkey; it is not said whose. */
export async function askForPasskey(
  services: Services,
): Promise<Ceremony<PublicKeyCredentialRequestOptionsJSON>> {
  const options = await generateAuthenticationOptions({
    rpID: party(services).rpID,
    userVerification: 'preferred',
  });
  return { ceremony: await begin(services, options.challenge, undefined), options };
}

/** Whose passkey signed. @throws Fault where it is none of ours, or did not sign what was asked */
export async function accountByPasskey(
  services: Services,
  ceremony: string,
  response: AuthenticationResponseJSON,
): Promise<string> {
  const { challenge } = await take(services, ceremony);
  const { database } = services;
  const kept = await first<{ account: string; public_key: string; counter: number }>(
    database,
    'select account, public_key, counter from passkey where id = $1',
    response.id,
  );
  if (kept === undefined) throw new Fault('wrong-credentials', USE_ANOTHER);
  const { rpID, origin } = party(services);
  const { verified, authenticationInfo } = await sound(USE_ANOTHER, () =>
    verifyAuthenticationResponse({
      response,
      expectedChallenge: challenge,
      expectedOrigin: origin,
      expectedRPID: rpID,
      requireUserVerification: false,
      credential: {
        id: response.id,
        publicKey: Uint8Array.from(Buffer.from(kept.public_key, 'base64url')),
        counter: kept.counter,
      },
    }),
  );
  if (!verified) throw new Fault('wrong-credentials', USE_ANOTHER);
  await database.run(
    'update passkey set counter = $1 where id = $2',
    authenticationInfo.newCounter,
    response.id,
  );
  return kept.account;
}

function party({ mode }: Services): { rpID: string; origin: string } {
  if (!mode.shared) throw new Error('passkeys are for a shared server');
  return { rpID: new URL(mode.origin).hostname, origin: mode.origin };
}

async function begin(services: Services, challenge: string, account: string | undefined): Promise<string> {
  const { database, now } = services;
  const id = newId(services);
  await database.run('delete from ceremony where expires <= $1', now());
  await database.run(
    'insert into ceremony (id, challenge, account, expires) values ($1, $2, $3, $4)',
    id,
    challenge,
    account ?? null,
    now() + PATIENCE,
  );
  return id;
}

/** A ceremony serves once, whatever comes of it. */
async function take(
  { database, now }: Services,
  id: string,
): Promise<{ challenge: string; account: string | null }> {
  const begun = await first<{ challenge: string; account: string | null }>(
    database,
    'delete from ceremony where id = $1 and expires > $2 returning challenge, account',
    id,
    now(),
  );
  if (begun === undefined) throw new Fault('expired', 'Begin again.');
  return begun;
}

/** What the library throws is what is wrong with an answer from outside. */
async function sound<T>(remedy: string, verify: () => Promise<T>): Promise<T> {
  try {
    return await verify();
  } catch {
    throw new Fault('wrong-credentials', remedy);
  }
}
