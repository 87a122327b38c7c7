import { readFileSync, writeFileSync } from 'node:fs';

const page = new URL('../../docs/science/calibration.md', import.meta.url);

/** Replaces what stands between a section's marks in docs/science/calibration.md. */
export function writeSection(name: string, text: string): void {
  const before = readFileSync(page, 'utf8');
  const [open, close] = [`<!-- ${name} -->`, `<!-- end of ${name} -->`];
  const [from, to] = [before.indexOf(open), before.indexOf(close)];
  if (from < 0 || to < from) throw new Error(`docs/science/calibration.md has no section "${name}"`);
  writeFileSync(page, `${before.slice(0, from + open.length)}\n${text.trim()}\n${before.slice(to)}`);
}

export function writePicture(name: string, svg: string): void {
  writeFileSync(new URL(`../../docs/science/${name}`, import.meta.url), svg);
}

/** A Markdown table. */
export function table(head: readonly string[], rows: readonly (readonly (string | number)[])[]): string {
  const line = (cells: readonly (string | number)[]): string => `| ${cells.join(' | ')} |`;
  return [line(head), line(head.map(() => '---')), ...rows.map(line)].join('\n');
}
