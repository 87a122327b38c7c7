import { layOut } from '@brinewright/nitrogen';
import { kernelBytes } from '../numbers/bytes.ts';
import { lanes } from '../numbers/fours.ts';
import { fade, fadeFrom, fadeFull, type Ready } from './reading.ts';
import { eyeWidth, levelNames, type Occasion, type Weigher, type WeigherShape, waterWidth } from './shape.ts';

/** What wasm/weigh.ts exports. Addresses and counts are 32-bit. */
interface WeighExports {
  suppose(fade: number, from: number, full: number): void;
  weigh(...args: number[]): void;
}

const readingBytes = 64;
const occasionBytes = 12;

/** Four particles at a time in WebAssembly, with a memory of its own; null where that cannot be had. */
export function vectorWeigher(shape: WeigherShape): Weigher | null {
  const { readings, occasions } = shape;
  const capacity = Math.ceil(shape.capacity / lanes) * lanes;
  const width = waterWidth(shape);
  const look = eyeWidth(shape);
  const desk = layOut<WeighExports>(kernelBytes, () => [
    ...[readingBytes * readings.length, occasionBytes * occasions.length],
    ...[4 * capacity * width, 4 * capacity * look, 8 * capacity],
  ]);
  if (!desk) return null;
  const { kernel, buffer } = desk;
  const [toReadings, toOccasions, toWaters, toEyes, out] = desk.at as [
    number,
    number,
    number,
    number,
    number,
  ];
  const view = new DataView(buffer);
  for (const [i, one] of readings.entries()) writeReading(view, toReadings + readingBytes * i, one);
  for (const [i, one] of occasions.entries()) writeOccasion(view, toOccasions + occasionBytes * i, one);
  kernel.suppose(fade, fadeFrom, fadeFull);
  return {
    waters: new Float32Array(buffer, toWaters, capacity * width),
    // Lanes nobody fills must hold numbers too.
    eyes: new Float32Array(buffer, toEyes, capacity * look).fill(1),
    logLikelihoods: new Float64Array(buffer, out, capacity),
    weigh(first, last, from = 0, until = occasions.length) {
      kernel.weigh(
        Math.floor(first / lanes) * lanes,
        Math.ceil(last / lanes) * lanes,
        toReadings,
        toOccasions,
        from,
        until,
        toWaters,
        width,
        toEyes,
        look,
        out,
      );
    },
  };
}

function writeReading(view: DataView, at: number, one: Ready): void {
  const whole = [one.instrument, levelNames.indexOf(one.analyte), Number(one.metered), Number(one.tinted)];
  const single = [
    ...[one.dilution, one.low, one.high, one.offset, one.moreBlur],
    ...[one.floor, one.share, one.top, one.ifFailed, one.slipped, one.held],
  ];
  for (const [i, value] of whole.entries()) view.setInt32(at + 4 * i, value, true);
  for (const [i, value] of single.entries()) view.setFloat32(at + 4 * (whole.length + i), value, true);
}

function writeOccasion(view: DataView, at: number, { end, before, after }: Occasion): void {
  for (const [i, value] of [end, before, after].entries()) view.setInt32(at + 4 * i, value, true);
}
