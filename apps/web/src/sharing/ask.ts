import { sharingWords as words } from '../words/sharing.ts';

/** What a server said instead of doing what was asked: a problem detail (RFC 9457). */
export class Refusal extends Error {
  override readonly name = 'Refusal';
  readonly status: number;
  /** The word that tells one problem from another: "not-allowed". */
  readonly kind: string;
  /** Places of the request at fault, as JSON Pointers. */
  readonly pointers: readonly string[];

  constructor(status: number, kind: string, said: string, pointers: readonly string[]) {
    super(said);
    this.status = status;
    this.kind = kind;
    this.pointers = pointers;
  }
}

/** No answer came: there is no network, or the server is down. */
export class Unreachable extends Error {
  override readonly name = 'Unreachable';

  constructor(cause: unknown) {
    super(words.unreachable, { cause });
  }
}

const PATIENCE_MS = 30_000;
const TRIES = 4;

export type Method = 'GET' | 'POST' | 'PUT' | 'DELETE';

/**
 * Asks the server that served this page, and waits its turn where the server is busy.
 * @returns what it answered, as JSON; undefined where it had nothing to say
 * @throws Refusal, Unreachable
 */
export async function ask<T>(method: Method, path: string, body?: unknown): Promise<T> {
  const response = await fetched(method, path, body);
  return (response.status === 204 ? undefined : await jsonOf(response)) as T;
}

/** As `ask`, with the answer as it comes. @throws Refusal, Unreachable */
export async function fetched(
  method: Method,
  path: string,
  body?: unknown,
  patienceMs = PATIENCE_MS,
): Promise<Response> {
  for (let tries = 1; ; tries++) {
    const response = await sent(method, path, body, patienceMs);
    if (response.ok) return response;
    const seconds = Number(response.headers.get('Retry-After') ?? Number.NaN);
    if (![429, 503].includes(response.status) || Number.isNaN(seconds) || tries === TRIES)
      throw await refusalOf(response);
    await new Promise((resolve) => setTimeout(resolve, 1000 * Math.min(seconds, 30)));
  }
}

async function sent(method: Method, path: string, body: unknown, patienceMs: number): Promise<Response> {
  try {
    return await fetch(path, {
      method,
      signal: AbortSignal.timeout(patienceMs),
      ...(body !== undefined && {
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify(body),
      }),
    });
  } catch (error) {
    throw new Unreachable(error);
  }
}

async function jsonOf(response: Response): Promise<unknown> {
  if (!/\bjson\b/.test(response.headers.get('Content-Type') ?? ''))
    throw new Refusal(response.status, 'not-ours', words.notOurs, []);
  try {
    return await response.json();
  } catch (error) {
    // It was cut off on its way.
    throw new Unreachable(error);
  }
}

interface Problem {
  readonly type?: string;
  readonly title?: string;
  readonly detail?: string;
  readonly errors?: readonly { readonly pointer: string; readonly detail: string }[];
}

async function refusalOf(response: Response): Promise<Refusal> {
  const problem = (await response.json().catch(() => ({}))) as Problem;
  const { type = '', title = `${response.status} ${response.statusText}`, detail, errors = [] } = problem;
  const said = [`${title.replace(/\.$/, '')}.`, errors[0]?.detail ?? detail].filter(Boolean).join(' ');
  const pointers = errors.map(({ pointer }) => pointer);
  return new Refusal(response.status, type.replace('urn:brinewright:problem:', ''), said, pointers);
}

/** Any error, in words for a person. */
export const sayError = (error: unknown): string => (error instanceof Error ? error.message : String(error));
