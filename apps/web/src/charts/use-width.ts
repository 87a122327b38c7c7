import { useEffect, useState } from 'preact/hooks';

/**
 * The width there is, so that letters keep their size on a phone. Before it is measured, that of the page's column: most
 * charts fill it, and need not be drawn twice; `first` where there is no page.
 */
export function useWidth(element: { readonly current: HTMLElement | null }, first: number): number {
  const [width, setWidth] = useState(() => columnWidth() ?? first);
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

/** Measured once and then followed: whoever asks while parts are being drawn would have them laid out on the spot. */
function columnWidth(): number | undefined {
  if (column !== undefined || typeof document === 'undefined') return column;
  const main = document.getElementById('main');
  if (main === null) return undefined;
  new ResizeObserver(([box]) => {
    if (box && box.contentRect.width > 0) column = Math.round(box.contentRect.width);
  }).observe(main);
  column = main.clientWidth || undefined;
  return column;
}
