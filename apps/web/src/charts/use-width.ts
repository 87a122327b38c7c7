import { useEffect, useState } from 'preact/hooks';

/** The width there is, so that letters keep their size on a phone; `first` until it has been measured. */
export function useWidth(element: { readonly current: HTMLElement | null }, first: number): number {
  const [width, setWidth] = useState(first);
  useEffect(() => {
    if (element.current === null) return undefined;
    const watch = new ResizeObserver(([box]) => {
      if (box && box.contentRect.width > 0) setWidth(Math.round(box.contentRect.width));
    });
    watch.observe(element.current);
    return () => watch.disconnect();
  }, [element]);
  return width;
}
