import type { Problem } from '@brinewright/journal';
import { HTTPException } from 'hono/http-exception';
import * as z from 'zod/mini';

/** What is wrong with one place of a request. */
export interface PlacedFault {
  /** JSON Pointer (RFC 6901) into the body, or the name of a parameter of the address. */
  readonly pointer: string;
  readonly detail: string;
}

/** Problem details for HTTP interfaces (RFC 9457). */
export const problemBody = z.object({
  type: z.string(),
  title: z.string(),
  status: z.number(),
  detail: z.optional(z.string()),
  errors: z.optional(z.array(z.object({ pointer: z.string(), detail: z.string() }))),
});

/** What can go wrong in a request, by its word in `type`, with the status it is answered with. */
const KINDS = {
  unsound: [422, 'The request is not sound'],
  'not-json': [400, 'The body is not JSON'],
  'not-signed-in': [401, 'Sign in first'],
  'wrong-credentials': [401, 'Name, password or passkey do not fit'],
  'not-allowed': [403, 'Your part in this tank does not reach that far'],
  'foreign-page': [403, 'Asked from a page that is not ours'],
  'not-here': [404, 'Nothing is kept here'],
  'not-answerable': [409, 'The journal cannot answer that'],
  'place-unknown': [410, 'That place in the journal is not known here'],
  clash: [409, 'Different entries carry the same id'],
  'already-so': [409, 'That has been done before'],
  'still-needed': [409, 'Others still depend on it'],
  expired: [410, 'It has expired or was used'],
  'too-large': [413, 'The request is too large'],
  'too-often': [429, 'Too many requests'],
  'too-busy': [503, 'Too much is being reckoned at once'],
  broken: [500, 'The server failed'],
} as const satisfies Readonly<Record<string, readonly [number, string]>>;

export type FaultKind = keyof typeof KINDS;

/** Thrown by a route to answer with a problem. */
export class Fault extends Error {
  override readonly name = 'Fault';
  readonly kind: FaultKind;
  readonly errors: readonly PlacedFault[];
  readonly headers: Readonly<Record<string, string>>;

  constructor(
    kind: FaultKind,
    detail = '',
    errors: readonly PlacedFault[] = [],
    headers: Readonly<Record<string, string>> = {},
  ) {
    super(detail);
    this.kind = kind;
    this.errors = errors;
    this.headers = headers;
  }
}

/** The answer a fault stands for. */
export function problemResponse(fault: Fault): Response {
  const [status, title] = KINDS[fault.kind];
  const body: z.infer<typeof problemBody> = {
    type: `urn:brinewright:problem:${fault.kind}`,
    title,
    status,
    ...(fault.message === '' ? {} : { detail: fault.message }),
    ...(fault.errors.length === 0 ? {} : { errors: [...fault.errors] }),
  };
  return new Response(JSON.stringify(body), {
    status,
    headers: { ...fault.headers, 'Content-Type': 'application/problem+json', 'Cache-Control': 'no-store' },
  });
}

/** Anything thrown, as a fault; what was not foreseen is told to no one but the log. */
export function faultOf(error: Error): Fault {
  if (error instanceof Fault) return error;
  if (error instanceof HTTPException) {
    if (error.status === 400) return new Fault('not-json', 'Send one JSON value with its content type.');
    if (error.status === 413) return new Fault('too-large', error.message);
  }
  return new Fault('broken', 'What was asked may or may not have been done. Ask again.');
}

/** A problem of a journal entry, placed in the request. */
export const placedProblem = ({ path, message, remedy }: Problem, before: string): PlacedFault => ({
  pointer: `${before}${pointerOf(path)}`,
  detail: `${message}. ${remedy}`,
});

/** "body.between[0]" as "/body/between/0". */
const pointerOf = (path: string): string =>
  path
    .split(/[.[\]]/)
    .filter((part) => part !== '')
    .map((part) => `/${part.replaceAll('~', '~0').replaceAll('/', '~1')}`)
    .join('');
