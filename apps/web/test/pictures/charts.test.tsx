import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { renderToString } from 'preact-render-to-string';
import { describe, expect, it } from 'vitest';
import { CourseChart } from '../../src/charts/course-chart.tsx';
import { CourseTable } from '../../src/charts/course-table.tsx';
import { LedgerChart } from '../../src/charts/ledger.tsx';
import { datesIn } from '../../src/format/dates.ts';
import { numbersIn } from '../../src/format/numbers.ts';
import { skerrySheet } from '../fixtures/sheet.ts';

const place = { dates: datesIn('en-GB', 'UTC'), numbers: numbersIn('en-GB') };
const folder = fileURLToPath(new URL('./kept/', import.meta.url));

/** A picture is kept as text beside the test; `PICTURES=redraw` replaces it, and the change shows in review. */
async function expectPicture(name: string, markup: string) {
  const lines = `${markup.replaceAll('><', '>\n<')}\n`;
  const file = `${folder}${name}.txt`;
  if (process.env.PICTURES === 'redraw') {
    mkdirSync(folder, { recursive: true });
    writeFileSync(file, lines);
  }
  expect(lines).toBe(readFileSync(file, 'utf8'));
}

describe('pictures', () => {
  it('draws the course on a wide sheet', async () => {
    await expectPicture(
      'course-wide',
      renderToString(<CourseChart sheet={skerrySheet} {...place} width={960} />),
    );
  });

  it('draws the course on a phone', async () => {
    await expectPicture(
      'course-narrow',
      renderToString(<CourseChart sheet={skerrySheet} {...place} width={358} />),
    );
  });

  it('leaves the ready window open to the right where its end lies past the horizon', () => {
    const { course } = skerrySheet;
    const sheet = { ...skerrySheet, course: { ...course, ready: { ...course.ready, p50: null, p95: null } } };
    const drawn = renderToString(<CourseChart sheet={sheet} {...place} />);
    expect(drawn).toContain('ready from 30 Nov at the earliest');
    expect(drawn).not.toContain('ready-middle');
  });

  it('draws no window where none is in sight', () => {
    const { course } = skerrySheet;
    const ready = { p05: null, p50: null, p95: null, byDay: [] };
    expect(
      renderToString(<CourseChart sheet={{ ...skerrySheet, course: { ...course, ready } }} {...place} />),
    ).not.toContain('ready-edge');
  });

  it('says every day of the chart in the table', () => {
    const table = renderToString(<CourseTable sheet={skerrySheet} {...place} />);
    expect(table.match(/scope="row"/g)?.length).toBe(39);
    expect(table).toContain('Nitrite read over 5 mg/L as NO₂');
  });

  it('draws the ledger with a row and a cell for every place that holds nitrogen', async () => {
    await expectPicture(
      'ledger',
      renderToString(<LedgerChart ledger={skerrySheet.ledger} numbers={place.numbers} />),
    );
  });
});
