/** A push service and the browser that subscribed to it: reads messages as RFC 8291 and RFC 8292 say. */
import { createDecipheriv, createECDH, createPublicKey, hkdfSync, randomBytes, verify } from 'node:crypto';
import { once } from 'node:events';
import { createServer, type IncomingHttpHeaders } from 'node:http';
import type { AddressInfo } from 'node:net';

interface Received {
  readonly headers: IncomingHttpHeaders;
  readonly body: Buffer;
}

export async function pushService() {
  const received: Received[] = [];
  /** What the next messages are answered with. */
  const answers = { status: 201 };
  const server = createServer(async (request, response) => {
    const parts: Buffer[] = [];
    for await (const part of request) parts.push(part);
    received.push({ headers: request.headers, body: Buffer.concat(parts) });
    response.writeHead(answers.status, { Location: 'http://127.0.0.1:1/elsewhere' }).end();
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const origin = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  return { received, answers, origin, close: () => new Promise((done) => server.close(done)) };
}

export function browser(endpoint: string) {
  const keys = createECDH('prime256v1');
  keys.generateKeys();
  const auth = randomBytes(16);
  return {
    /** As `PushSubscription` is written in JSON. */
    subscription: {
      endpoint,
      expirationTime: null,
      keys: { p256dh: keys.getPublicKey('base64url'), auth: auth.toString('base64url') },
    },
    /** RFC 8188 for the frame, RFC 8291 for the key. */
    read(body: Buffer): unknown {
      const salt = body.subarray(0, 16);
      const idLength = body.readUInt8(20);
      const sender = body.subarray(21, 21 + idLength);
      const sealed = body.subarray(21 + idLength);
      const info = Buffer.concat([Buffer.from('WebPush: info\0'), keys.getPublicKey(), sender]);
      const secret = hkdfSync('sha256', keys.computeSecret(sender), auth, info, 32);
      const derive = (name: string, length: number): Buffer =>
        Buffer.from(hkdfSync('sha256', new Uint8Array(secret), salt, `Content-Encoding: ${name}\0`, length));
      const decipher = createDecipheriv('aes-128-gcm', derive('aes128gcm', 16), derive('nonce', 12));
      decipher.setAuthTag(sealed.subarray(-16));
      const plain = Buffer.concat([decipher.update(sealed.subarray(0, -16)), decipher.final()]);
      return JSON.parse(plain.subarray(0, plain.lastIndexOf(2)).toString());
    },
  };
}

/** The claims of a message's "vapid" authorisation, once its signature is found good under the key it names. */
export function claimsOf(authorization: string): { key: string; claims: Record<string, unknown> } {
  const [, token = '', key = ''] = /^vapid t=([^,]+), ?k=([\w-]+)$/.exec(authorization) ?? [];
  const [head = '', body = '', signature = ''] = token.split('.');
  const point = Buffer.from(key, 'base64url');
  const jwk = {
    kty: 'EC',
    crv: 'P-256',
    x: point.subarray(1, 33).toString('base64url'),
    y: point.subarray(33).toString('base64url'),
  };
  const good = verify(
    'sha256',
    Buffer.from(`${head}.${body}`),
    { key: createPublicKey({ key: jwk, format: 'jwk' }), dsaEncoding: 'ieee-p1363' },
    Buffer.from(signature, 'base64url'),
  );
  if (!good) throw new Error('the signature is not good');
  return { key, claims: JSON.parse(Buffer.from(body, 'base64url').toString()) };
}
