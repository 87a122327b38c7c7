import './styles/index.css';

// What the page is made of is fetched at once but evaluated a part after the other, so that a tap or a frame to draw never
// waits for all of it: first what reads a journal, then what keeps it, then the places themselves.
await import('@brinewright/journal');
await import('./state/journal.ts');
await import('./main.tsx');
