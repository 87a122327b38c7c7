import { useEffect, useLayoutEffect, useState } from 'preact/hooks';

interface InView {
  /** The first line to draw, and the one after the last. */
  readonly first: number;
  readonly last: number;
  /** Of one line, px. */
  readonly height: number;
}

/** Lines drawn beyond what is in view, so that scrolling and the tab key find them there. */
const BEYOND = 8;
/** Nothing is drawn before it is measured: the page above the list is there sooner, and no line is drawn twice. */
const FIRST_SIGHT: InView = { first: 0, last: 0, height: 96 };

/** How far down the list was, for whoever comes back to it. */
let leftAt = 0;

/** Which lines of a long list are in view; the list's `--line` says how high one is. */
export function useInView(list: { readonly current: HTMLElement | null }, count: number): InView {
  const [view, setView] = useState(FIRST_SIGHT);
  useEffect(() => {
    const measure = () => {
      if (list.current === null) return;
      const height =
        Number.parseFloat(getComputedStyle(list.current, '::before').blockSize) || FIRST_SIGHT.height;
      const above = Math.max(0, -list.current.getBoundingClientRect().top);
      const first = Math.max(0, Math.floor(above / height) - BEYOND);
      const last = Math.ceil((above + innerHeight) / height) + BEYOND;
      setView((before) =>
        before.first === first && before.last === last && before.height === height
          ? before
          : { first, last, height },
      );
    };
    measure();
    addEventListener('scroll', measure, { passive: true });
    addEventListener('resize', measure);
    return () => {
      removeEventListener('scroll', measure);
      removeEventListener('resize', measure);
    };
  }, [list, count]);
  useLayoutEffect(() => {
    if (leftAt > 0) scrollTo(0, leftAt);
    return () => {
      leftAt = scrollY;
    };
  }, []);
  return view;
}
