/**
 * What the pages cost on a slow phone, beside what they may cost: `npm run bench:web`, after the pages are built
 * (`npx vite build apps/web`). The page's own thread is slowed down four times; the worker is not, so its share is told
 * apart. Figures are printed, never asserted: they depend on the machine. `-- --rounds 3` goes through all of it three
 * times and prints least, middle and most of each; the middle is held against the goal.
 */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { loadavg, tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { gzipSync } from 'node:zlib';
import { SKERRY, startServer } from '../apps/web/test/browser/support.ts';
import { longJournal, longTank } from '../apps/web/test/fixtures/long-journal.ts';
import { kilobytes, ledger, milliseconds } from './bench-web/ledger.ts';
import { type SlowPhone, slowPhone } from './bench-web/slow-phone.ts';

const site = fileURLToPath(new URL('../apps/web/dist/site/', import.meta.url));
/** Nothing a tap waits for may hold the page up for longer. */
const LONGEST_TASK = milliseconds(100);
const folder = mkdtempSync(join(tmpdir(), 'brinewright-bench-'));
const lines = longJournal();
const longFile = join(folder, 'long.ndjson');
writeFileSync(longFile, lines.join('\n'));
const { values } = parseArgs({ options: { rounds: { type: 'string', default: '1' } } });
const figures = ledger();

async function noteTasks(phone: SlowPhone, what: string): Promise<void> {
  const { clock, processor } = await phone.longestTask();
  figures.note(`${what}, processor time`, milliseconds(processor), LONGEST_TASK);
  figures.note(what.startsWith('  ') ? '    on the clock' : '  on the clock', milliseconds(clock));
}

/** Returns how many readings the chart shows. */
async function firstVisit(phone: SlowPhone, address: string): Promise<number> {
  await phone.open(address + SKERRY);
  await phone.until(`document.querySelector('main h1')`);
  const weight = (path: string) => gzipSync(readFileSync(join(site, path))).length;
  const first = phone.scripts().filter((path) => !/^(course|hand)\.worker/.test(basename(path)));
  const sum = first.reduce((bytes, path) => bytes + weight(path), 0);
  figures.note('scripts of the first view, gzip', kilobytes(sum / 1024), kilobytes(120));
  figures.note('first visit: heading there', milliseconds(await phone.interactive()), milliseconds(1500));
  await phone.until(`document.querySelector('.chart svg') && !document.querySelector('.progress')`);
  // The ledger is drawn after the last panel of the chart.
  await phone.until(`document.querySelector('.ledger')`);
  await noteTasks(phone, 'first visit: longest task');
  return phone.count('.chart .reading');
}

async function atTheBench(phone: SlowPhone, address: string): Promise<void> {
  await phone.until(
    '(navigator.serviceWorker.ready.then(() => { globalThis.kept = true; }), globalThis.kept)',
  );
  await phone.open(`${address}${SKERRY}/bench`);
  await phone.until(`document.querySelector('.kit')`);
  figures.note(
    'bench from the device: rows there',
    milliseconds(await phone.interactive()),
    milliseconds(1500),
  );
}

/** Of the demonstration's second kit: the end of its card, which is likeliest, and what nobody expects. */
const LIKELY = { kit: 1, button: 6 };
const FAR_OFF = { kit: 1, button: 3 };

/** Writes one reading down and goes straight on to the sheet. Marks: pressed, told, and orders once `current` holds. */
async function writeDown(phone: SlowPhone, { kit, button }: typeof LIKELY, current: string): Promise<void> {
  await phone.until(
    `[...document.querySelectorAll('.meaning p')].some((p) => p.textContent.includes('Expected'))`,
  );
  await phone.tap(`document.querySelectorAll('.kit')[${kit}].querySelectorAll('.steps button')[${button}]`);
  await phone.watchFor('orders', `${current} && !${LINK}`);
  await phone.watchForPress('pressed');
  // Nobody is as quick as that: what a finger takes to find the link is time the worker has for itself.
  await phone.watchFor('told', LINK, `${LINK}.click()`);
  await phone.tap(`document.querySelector('.write button[type=submit]')`);
}

const LINK = `document.querySelector('.outcome a')`;
const SHEET_CURRENT = `document.querySelector('.chart svg') && !document.querySelector('.progress')`;
const FIRST_ORDERS = `document.querySelector('#orders + .remark')?.textContent.includes('not been weighed')`;
const readingsDrawn = `document.querySelectorAll('.chart .reading').length`;

async function readingWritten(
  phone: SlowPhone,
  address: string,
  what: string,
  { before, suspected = false, ...tapped }: typeof LIKELY & { before: number; suspected?: boolean },
): Promise<void> {
  await phone.open(`${address}${SKERRY}/bench`);
  await phone.watchFor('course', `${readingsDrawn} > ${before}`);
  if (suspected) await phone.watchFor('first orders', FIRST_ORDERS);
  await writeDown(phone, tapped, `${readingsDrawn} > ${before} && ${SHEET_CURRENT}`);
  await phone.marked('course', 'orders');
  const kept = await phone.between('pressed', 'told');
  const course = await phone.between('told', 'course');
  const orders = await phone.between('told', 'orders');
  figures.note(`${what}: told that it is kept`, milliseconds(kept.clock), milliseconds(300));
  figures.note('  told, to the course drawn anew', milliseconds(course.clock), milliseconds(300));
  figures.note('    of it the page, processor time', milliseconds(course.page));
  figures.note('    meanwhile the worker, not slowed down', milliseconds(course.worker));
  if (await phone.hasMarked('first orders')) {
    const first = await phone.between('told', 'first orders');
    figures.note('  told, to the first orders beside it', milliseconds(first.clock));
  }
  figures.note(`  told, to the${suspected ? ' whole' : ''} orders beside it`, milliseconds(orders.clock));
  await noteTasks(phone, '  bench and sheet: longest task');
}

async function whatIf(phone: SlowPhone, address: string): Promise<void> {
  await phone.open(address + SKERRY);
  await phone.until(`document.querySelector('.chart svg')`);
  await phone.tap(
    `[...document.querySelectorAll('summary')].find((s) => s.textContent.startsWith('What if'))`,
  );
  await phone.until(`document.querySelector('.opened input[type=radio]')`);
  const asked = performance.now();
  await phone.tap(
    `[...document.querySelectorAll('.opened label')].find((l) => l.textContent.includes('warmer'))`,
  );
  await phone.until(`document.querySelector('.key')`);
  figures.note('what if it were warmer: asked to drawn', milliseconds(performance.now() - asked));
}

async function fiveYears(phone: SlowPhone, address: string): Promise<void> {
  await phone.open(`${address}/workshop`);
  await phone.until(`document.querySelector('input[type=file]')`);
  const brought = performance.now();
  await phone.choose('input[type=file]', longFile);
  await phone.until(`document.body.textContent.includes('entries brought in')`);
  const count = (lines.length - 1).toLocaleString('en-GB');
  figures.note(
    `five years, ${count} entries: brought in`,
    milliseconds(performance.now() - brought),
    milliseconds(3000),
  );
  await noteTasks(phone, '  bringing in: longest task');
  await phone.open(`${address}/tank/${longTank}`);
  await phone.until(`document.querySelector('.diary > li')`);
  figures.note(
    '  sheet there, without a course yet',
    milliseconds(await phone.interactive()),
    milliseconds(1500),
  );
  const waits = performance.now();
  await phone.until(`document.querySelector('.chart svg') && !document.querySelector('.progress')`);
  figures.note(
    '  course and orders there (mostly the worker)',
    milliseconds(performance.now() - waits),
    milliseconds(5000),
  );
  const opened = performance.now();
  await phone.tap(
    `[...document.querySelectorAll('.acts button.act')].find((b) => b.textContent.startsWith('Show'))`,
  );
  await phone.until(`document.querySelectorAll('.diary > li').length > 4900`);
  figures.note('  its whole diary there', milliseconds(performance.now() - opened), milliseconds(10_000));
  await noteTasks(phone, '  sheet and diary: longest task');
  await phone.open(`${address}/tank/${longTank}/bench`);
  await writeDown(phone, { kit: 2, button: 2 }, SHEET_CURRENT);
  await phone.marked('orders');
  const kept = await phone.between('pressed', 'told');
  const orders = await phone.between('told', 'orders');
  figures.note('  a reading written: told that it is kept', milliseconds(kept.clock), milliseconds(300));
  figures.note('  told, to the updated course and orders', milliseconds(orders.clock), milliseconds(1000));
  await noteTasks(phone, '  bench and sheet: longest task');
}

const load = () => loadavg()[0]?.toFixed(1);
const before = load();
const server = await startServer();
for (let round = 0; round < Number(values.rounds); round++) {
  const phone = await slowPhone();
  const readings = await firstVisit(phone, server.address);
  await atTheBench(phone, server.address);
  await readingWritten(phone, server.address, 'a reading as expected', { ...LIKELY, before: readings });
  await readingWritten(phone, server.address, 'a reading far off, all fitted anew', {
    ...FAR_OFF,
    before: readings + 1,
    suspected: true,
  });
  await whatIf(phone, server.address);
  await fiveYears(phone, server.address);
  for (const complaint of phone.complaints()) console.log(`the page complained: ${complaint}`);
  await phone.close();
}
await server.stop();
rmSync(folder, { recursive: true, force: true });
figures.print();
console.log(`\nthe page at a quarter of its speed; load of the machine ${before} before, ${load()} after`);
