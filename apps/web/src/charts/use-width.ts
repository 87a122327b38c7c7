import { useEffect, useState } from 'preact/hooks';

/**
 * The width there is, so that letters keep their size on a phone. Before it is measured, that of the page's column: most
 * charts fill it, and need not be drawn twice; `first` where there is no page.
 */
export function useWidth(element: { readonly current: HTMLElement | null }, first: number): number {
  const [width, setWidth] = useState(column ?? first);
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

let column: number | undefined;

/** Follows the page's column from the start: measured while parts are being drawn, they would be laid out on the spot. */
export function followColumn(main: HTMLElement | null): void {
  if (main === null) return;
  new ResizeObserver(([box]) => {
    if (box && box.contentRect.width > 0) column = Math.round(box.contentRect.width);
  }).observe(main);
}
