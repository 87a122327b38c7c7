import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import pixelmatch from 'pixelmatch';
import { PNG } from 'pngjs';

const kept = fileURLToPath(new URL('../pictures/screens/', import.meta.url));
const scratch = fileURLToPath(new URL('../../../../var/pictures/', import.meta.url));

/**
 * How far apart two colours may be, 0 to 1. Pictures are kept at half their size, each pixel the mean of four: letters
 * that another browser version smooths differently, or sets a fraction of a pixel aside, stay below this.
 */
const COLOURS_APART = 0.16;
/**
 * How many pixels of a square may be further apart than that. A line of text that moved by its own height changes a
 * fifth to a third of the squares it left and entered; smoothing that got past the first measure, or an arrow that a
 * browser draws on its own controls, stays below a twelfth.
 */
const SQUARE = 24;
const PIXELS_OF_A_SQUARE = Math.round(SQUARE * SQUARE * 0.12);

/** What is wrong with a screen beside the picture kept of it; undefined where nothing is. `PICTURES=redraw` keeps it anew. */
export function differenceFrom(name: string, screenshot: Buffer): string | undefined {
  const seen = halved(PNG.sync.read(screenshot));
  const file = `${kept}${name}.png`;
  if (process.env.PICTURES === 'redraw') {
    mkdirSync(kept, { recursive: true });
    writeFileSync(file, PNG.sync.write(seen, { colorType: 2, deflateLevel: 9 }));
    return undefined;
  }
  if (!existsSync(file)) return `no picture is kept of ${name}. ${ACCEPT}`;
  const before = PNG.sync.read(readFileSync(file));
  const [width, height] = [Math.max(seen.width, before.width), Math.max(seen.height, before.height)];
  const difference = new PNG({ width, height });
  const [a, b] = [onPaper(before, width, height), onPaper(seen, width, height)];
  const most = pixelmatch(a.data, b.data, difference.data, width, height, {
    threshold: COLOURS_APART,
    windowSize: SQUARE,
  });
  if (most <= PIXELS_OF_A_SQUARE) return undefined;
  mkdirSync(scratch, { recursive: true });
  for (const [what, png] of [
    ['before', a] as const,
    ['seen', b] as const,
    ['difference', difference] as const,
  ])
    writeFileSync(`${scratch}${name}-${what}.png`, PNG.sync.write(png));
  return `${name}: ${most} of ${SQUARE * SQUARE} pixels differ in one place, ${PIXELS_OF_A_SQUARE} may. See ${name}-difference.png in ${scratch}. ${ACCEPT}`;
}

const ACCEPT =
  'Where it is as it should be, keep it: PICTURES=redraw npx vitest run --config tools/vitest.browser.config.ts pictures';

/** Half the size, each pixel the mean of four, in steps of eight so that files stay small. */
function halved(whole: PNG): PNG {
  const half = new PNG({ width: whole.width >> 1, height: whole.height >> 1 });
  const row = 4 * whole.width;
  for (let y = 0; y < half.height; y++)
    for (let x = 0; x < half.width; x++) {
      const [from, to] = [2 * y * row + 8 * x, 4 * (y * half.width + x)];
      for (let channel = 0; channel < 3; channel++) {
        const at = from + channel;
        const { data } = whole;
        const mean = (data[at]! + data[at + 4]! + data[at + row]! + data[at + row + 4]!) / 4;
        half.data[to + channel] = Math.min(255, 8 * Math.round(mean / 8));
      }
      half.data[to + 3] = 255;
    }
  return half;
}

/** On a sheet of that size, so that a page that grew or shrank can be laid beside what it was. */
function onPaper(picture: PNG, width: number, height: number): PNG {
  const paper = new PNG({ width, height });
  paper.data.fill(255);
  PNG.bitblt(picture, paper, 0, 0, picture.width, picture.height, 0, 0);
  return paper;
}
