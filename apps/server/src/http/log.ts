/** What may be said of an event: words and numbers of our own, never a name, an address or a secret. */
export type LogFields = Readonly<Record<string, string | number | boolean>>;

export type Log = (event: string, fields?: LogFields) => void;

/** One JSON object a line. */
export function jsonLog(write: (line: string) => void, now: () => number): Log {
  return (event, fields = {}) => {
    write(`${JSON.stringify({ at: new Date(now()).toISOString(), event, ...fields })}\n`);
  };
}

/** The place an error comes from: its kind and the calls, without the message, which may quote someone's words. */
export function errorFields(error: unknown): LogFields {
  if (!(error instanceof Error)) return { error: typeof error };
  const calls = (error.stack ?? '').split('\n').filter((line) => /^\s+at /.test(line));
  const code = (error as NodeJS.ErrnoException).code;
  return {
    error: error.name,
    ...(typeof code === 'string' ? { code } : {}),
    calls: calls
      .slice(0, 8)
      .map((line) =>
        line
          .trim()
          .replace(/^at /, '')
          .replace(/file:\/\/\S*\/(?=[^/]+:\d)/, ''),
      )
      .join(' < '),
  };
}
