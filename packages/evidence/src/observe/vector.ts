import { layOut } from '@brinewright/nitrogen';
import { kernelBytes } from '../numbers/bytes.ts';
import { lanes } from '../numbers/fours.ts';
import { priorBytes, writePriors } from '../numbers/priors.ts';
import { fade, fadeFrom, fadeFull, type Ready } from './reading.ts';
import {
  levelNames,
  type Occasion,
  seenWidth,
  type Weigher,
  type WeigherShape,
  waterWidth,
} from './shape.ts';

/** What wasm/weigh.ts exports. Addresses and counts are 32-bit. */
interface WeighExports {
  suppose(fade: number, from: number, full: number): void;
  takeRoom(...args: number[]): void;
  weigh(first: number, last: number, from: number, until: number): void;
  lookAgain(first: number, last: number, turns: number, temperature: number, word: number): void;
}

const readingBytes = 64;
const occasionBytes = 12;

/** Four particles at a time in WebAssembly, with a memory of its own; null where that cannot be had. */
export function vectorWeigher(shape: WeigherShape): Weigher | null {
  const { readings, occasions } = shape;
  const capacity = Math.ceil(shape.capacity / lanes) * lanes;
  const [width, looks, kept] = [waterWidth(shape), shape.eyes.length, seenWidth(shape)];
  const numbers = (each: number): number => 4 * capacity * each;
  const desk = layOut<WeighExports>(kernelBytes, () => [
    ...[readingBytes * readings.length, occasionBytes * occasions.length],
    ...[numbers(width), numbers(looks), numbers(looks)],
    ...[priorBytes * looks, 4 * looks, numbers(kept), 4 * lanes * kept, 2 * numbers(1)],
  ]);
  if (!desk) return null;
  const { kernel, buffer } = desk;
  const [toReadings, toOccasions, waters, eyes, scores, priors, widths, seen, tried, out] =
    desk.at as readonly number[] & { length: 10 };
  const view = new DataView(buffer);
  for (const [i, one] of readings.entries()) writeReading(view, toReadings! + readingBytes * i, one);
  for (const [i, one] of occasions.entries()) writeOccasion(view, toOccasions! + occasionBytes * i, one);
  writePriors(view, priors!, shape.eyes);
  kernel.suppose(fade, fadeFrom, fadeFull);
  kernel.takeRoom(
    ...[toReadings!, readings.length, toOccasions!, occasions.length],
    ...[waters!, width, eyes!, scores!, looks, priors!, widths!, seen!, tried!, out!],
  );
  const fourOf = (first: number): number => Math.floor(first / lanes) * lanes;
  const single = (at: number, each: number): Float32Array => new Float32Array(buffer, at, capacity * each);
  return {
    waters: single(waters!, width),
    // Lanes nobody fills must hold numbers too.
    eyes: single(eyes!, looks).fill(1),
    scores: single(scores!, looks),
    seen: single(seen!, kept),
    widths: new Float32Array(buffer, widths!, looks),
    logLikelihoods: new Float64Array(buffer, out!, capacity),
    weigh(first, last, from = 0, until = occasions.length) {
      kernel.weigh(fourOf(first), fourOf(last + lanes - 1), from, until);
    },
    lookAgain(first, last, { turns, temperature, word }) {
      kernel.lookAgain(fourOf(first), fourOf(last + lanes - 1), turns, temperature, word);
    },
  };
}

function writeReading(view: DataView, at: number, one: Ready): void {
  const whole = [one.instrument, levelNames.indexOf(one.analyte), Number(one.metered), Number(one.tinted)];
  const single = [
    ...[1 / one.dilution, one.low, one.high, one.offset, one.moreBlur],
    ...[one.floor, one.share, one.top, one.ifFailed, one.slipped, one.held],
  ];
  for (const [i, value] of whole.entries()) view.setInt32(at + 4 * i, value, true);
  for (const [i, value] of single.entries()) view.setFloat32(at + 4 * (whole.length + i), value, true);
}

function writeOccasion(view: DataView, at: number, { end, before, after }: Occasion): void {
  for (const [i, value] of [end, before, after].entries()) view.setInt32(at + 4 * i, value, true);
}
