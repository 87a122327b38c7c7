/** The look of the few pages the server writes itself: ink on paper, on screen and in print. */
export const plainStyle = `
:root { color-scheme: light dark; --ink: light-dark(#1d2a33, #e8e2d4); --paper: light-dark(#fbf8f1, #14202a);
  --quiet: light-dark(#52616b, #a9b4bb); --line: light-dark(#b9b2a2, #3d4c57); --accent: light-dark(#0b5a78, #7cc4e0); }
body { margin: 0; background: var(--paper); color: var(--ink); font: 1.0625rem/1.5 Georgia, 'Times New Roman', serif;
  font-variant-numeric: tabular-nums; }
main { max-width: 42rem; margin: 0 auto; padding: 2rem 1.25rem 4rem; }
h1 { font-size: 1.6rem; font-weight: 600; margin: 0 0 .25rem; }
h2 { font-size: 1.2rem; margin: 0 0 .25rem; }
section { border-top: 1px solid var(--line); padding: 1rem 0; break-inside: avoid; }
p { margin: .25rem 0; } ol { margin: .5rem 0; padding-left: 1.5rem; } li { margin: .4rem 0; }
.care { margin: .35rem 0; padding: 0 0 0 .8rem; border-left: 3px solid var(--line); list-style: none; font-size: .95rem; }
.quiet { color: var(--quiet); font-size: .95rem; }
:focus-visible { outline: 3px solid var(--accent); outline-offset: 2px; }
a { color: var(--accent); }
@media print { :root { color-scheme: light; } body { background: #fff; color: #000; font-size: 11pt; }
  main { max-width: none; padding: 0; } .quiet { color: #333; } }
`;
