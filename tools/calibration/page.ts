import { readFileSync, writeFileSync } from 'node:fs';

/** Replaces what stands between a section's marks in a page of docs/science. */
export function writeSection(name: string, text: string, file = 'calibration.md'): void {
  const page = new URL(`../../docs/science/${file}`, import.meta.url);
  const before = readFileSync(page, 'utf8');
  const [open, close] = [`<!-- ${name} -->`, `<!-- end of ${name} -->`];
  const [from, to] = [before.indexOf(open), before.indexOf(close)];
  if (from < 0 || to < from) throw new Error(`docs/science/${file} has no section "${name}"`);
  writeFileSync(page, `${before.slice(0, from + open.length)}\n${text.trim()}\n${before.slice(to)}`);
}

export function writePicture(name: string, svg: string): void {
  writeFileSync(new URL(`../../docs/science/${name}`, import.meta.url), svg);
}

/** A Markdown table whose columns line up. */
export function table(head: readonly string[], rows: readonly (readonly (string | number)[])[]): string {
  const widths = head.map((name, i) => Math.max(3, name.length, ...rows.map((row) => String(row[i]).length)));
  const line = (cells: readonly (string | number)[]): string =>
    `| ${cells.map((cell, i) => String(cell).padEnd(widths[i]!)).join(' | ')} |`;
  const rule = widths.map((width) => '-'.repeat(width));
  return [line(head), line(rule), ...rows.map(line)].join('\n');
}
