import type { ComponentChildren } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { words } from '../words/index.ts';

interface FetchedProps<T> {
  readonly load: () => Promise<T>;
  readonly children: (loaded: T) => ComponentChildren;
  /** Nothing is said while it is on its way, or where it cannot be fetched: the rest stands without it. */
  readonly quiet?: boolean;
}

/** A part whose code is fetched when it is wanted, so that the first view stays light. */
export function Fetched<T>({ load, children, quiet = false }: FetchedProps<T>) {
  const [loaded, setLoaded] = useState<{ readonly part: T } | 'waiting' | 'failed'>('waiting');
  useEffect(() => {
    load().then(
      (part) => setLoaded({ part }),
      () => setLoaded('failed'),
    );
  }, []);
  if (typeof loaded === 'object') return <>{children(loaded.part)}</>;
  if (quiet) return null;
  if (loaded === 'waiting') return <p class="soft">{words.fetching}</p>;
  return <p role="alert">{words.notFetched}</p>;
}
