/** A device that makes and uses a passkey, as an authenticator would (Web Authentication, level 3, section 6). */
import { createHash, generateKeyPairSync, randomBytes, sign } from 'node:crypto';

const base64url = (bytes: Uint8Array): string => Buffer.from(bytes).toString('base64url');
const sha256 = (data: Uint8Array | string): Buffer => createHash('sha256').update(data).digest();

const PRESENT_AND_VERIFIED = 0x05;
const HAS_KEY = 0x40;

export interface Options {
  readonly challenge: string;
}

export function newDevice(origin: string) {
  const rpId = new URL(origin).hostname;
  const { publicKey, privateKey } = generateKeyPairSync('ec', { namedCurve: 'P-256' });
  const id = randomBytes(16);
  let counter = 0;

  const clientData = (type: string, challenge: string): Buffer =>
    Buffer.from(JSON.stringify({ type, challenge, origin, crossOrigin: false }));
  const authenticatorData = (flags: number, extra: Uint8Array = new Uint8Array()): Buffer => {
    const count = Buffer.alloc(4);
    count.writeUInt32BE(++counter);
    return Buffer.concat([sha256(rpId), Buffer.of(flags), count, extra]);
  };

  return {
    make({ challenge }: Options) {
      const length = Buffer.alloc(2);
      length.writeUInt16BE(id.length);
      const credential = Buffer.concat([
        Buffer.alloc(16),
        length,
        id,
        coseKey(publicKey.export({ format: 'jwk' })),
      ]);
      const data = authenticatorData(PRESENT_AND_VERIFIED | HAS_KEY, credential);
      return {
        id: base64url(id),
        rawId: base64url(id),
        type: 'public-key',
        clientExtensionResults: {},
        response: {
          clientDataJSON: base64url(clientData('webauthn.create', challenge)),
          attestationObject: base64url(attestation(data)),
          transports: ['internal'],
        },
      };
    },
    sign({ challenge }: Options, from = origin) {
      const data = authenticatorData(PRESENT_AND_VERIFIED);
      const client = Buffer.from(
        JSON.stringify({ type: 'webauthn.get', challenge, origin: from, crossOrigin: false }),
      );
      const signature = sign('sha256', Buffer.concat([data, sha256(client)]), privateKey);
      return {
        id: base64url(id),
        rawId: base64url(id),
        type: 'public-key',
        clientExtensionResults: {},
        response: {
          clientDataJSON: base64url(client),
          authenticatorData: base64url(data),
          signature: base64url(signature),
        },
      };
    },
    /** As a copy of the device would sign that has not seen what this one signed since. */
    turnBack(): void {
      counter = 0;
    },
  };
}

/** An ES256 key in COSE (RFC 9052): {1: 2, 3: -7, -1: 1, -2: x, -3: y}. */
function coseKey({ x, y }: { x?: string; y?: string }): Buffer {
  const point = (text: string | undefined): Buffer =>
    Buffer.concat([Buffer.of(0x58, 32), Buffer.from(text ?? '', 'base64url')]);
  return Buffer.concat([
    Buffer.of(0xa5, 0x01, 0x02, 0x03, 0x26, 0x20, 0x01, 0x21),
    point(x),
    Buffer.of(0x22),
    point(y),
  ]);
}

/** {"fmt": "none", "attStmt": {}, "authData": data} in CBOR (RFC 8949). */
function attestation(data: Buffer): Buffer {
  const text = (word: string): Buffer => Buffer.concat([Buffer.of(0x60 + word.length), Buffer.from(word)]);
  return Buffer.concat([
    Buffer.of(0xa3),
    text('fmt'),
    text('none'),
    text('attStmt'),
    Buffer.of(0xa0),
    text('authData'),
    Buffer.of(0x58, data.length),
    data,
  ]);
}
