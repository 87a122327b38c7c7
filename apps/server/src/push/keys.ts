import { createECDH } from 'node:crypto';

/** What the server signs its push messages with (VAPID, RFC 8292): a key pair on P-256, base64url. */
export interface PushKeys {
  readonly publicKey: string;
  readonly privateKey: string;
  /** Whom a push service may turn to: a "mailto:" or "https:" address. */
  readonly contact: string;
}

const CURVE = 'prime256v1';

/** A new private key. Browsers are bound to its public key: with another, everyone has to subscribe anew. */
export function newPushKey(): string {
  const pair = createECDH(CURVE);
  pair.generateKeys();
  const key = pair.getPrivateKey();
  // Zeros at its head are left out there, and belong to it.
  return Buffer.concat([Buffer.alloc(32 - key.length), key]).toString('base64url');
}

/** @throws Error where the text is no private key */
export function pushKeysOf(privateKey: string, contact: string): PushKeys {
  if (!/^[\w-]{43}$/.test(privateKey)) throw new Error('not a private key on P-256');
  const pair = createECDH(CURVE);
  pair.setPrivateKey(privateKey, 'base64url');
  return { publicKey: pair.getPublicKey('base64url'), privateKey, contact };
}
