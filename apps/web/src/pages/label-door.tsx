import { useEffect, useState } from 'preact/hooks';
import { words } from '../words/index.ts';

type Page = typeof import('./label.tsx');

/** The way to a tank's label; what draws its code is fetched when someone wants one. */
export function LabelDoor({ id }: { id: string }) {
  const [page, setPage] = useState<Page | 'waiting' | 'failed'>('waiting');
  useEffect(() => {
    import('./label.tsx').then(setPage, () => setPage('failed'));
  }, []);
  if (page === 'waiting') return <p class="soft">{words.label.opening}</p>;
  if (page === 'failed') return <p role="alert">{words.label.failed}</p>;
  return <page.Label id={id} />;
}
