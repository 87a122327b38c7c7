import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { words } from '../words/index.ts';

/** Set once the first place has been shown: from then on a new place takes the focus, as a new page would. */
let arrived = false;

/** The heading of a place. It names the document and is where reading starts after a link was followed. */
export function Title({ name, children }: { name: string; children: ComponentChildren }) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    document.title = `${name} · ${words.brand}`;
  }, [name]);
  useEffect(() => {
    if (arrived) heading.current?.focus({ preventScroll: true });
    arrived = true;
  }, []);
  return (
    <h1 ref={heading} tabIndex={-1}>
      {children}
    </h1>
  );
}
