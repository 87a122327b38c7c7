import { instanceOf } from '@brinewright/nitrogen';
import { kernelBytes } from './bytes.ts';
import { fade, fadeFrom, fadeFull, type Ready } from './reading.ts';
import {
  eyeWidth,
  lanes,
  levelNames,
  type Occasion,
  type Weigher,
  type WeigherShape,
  waterWidth,
} from './shape.ts';

/** What wasm/weigh.ts exports. Addresses and counts are 32-bit. */
interface WeighExports {
  readonly memory: { readonly buffer: ArrayBuffer; grow(pages: number): number };
  free(): number;
  suppose(fade: number, from: number, full: number): void;
  weigh(...args: number[]): void;
}

const pageBytes = 65_536;
const readingBytes = 64;
const occasionBytes = 12;

/** Four particles at a time in WebAssembly, with a memory of its own; null where that cannot be had. */
export function vectorWeigher(shape: WeigherShape): Weigher | null {
  const exports = instanceOf(kernelBytes) as WeighExports | null;
  if (!exports) return null;
  const { memory } = exports;
  const { readings, occasions } = shape;
  const capacity = Math.ceil(shape.capacity / lanes) * lanes;
  const width = waterWidth(shape);
  const look = eyeWidth(shape);
  let end = exports.free();
  const place = (bytes: number): number => {
    const at = Math.ceil(end / 16) * 16;
    end = at + bytes;
    return at;
  };
  const at = {
    readings: place(readingBytes * readings.length),
    occasions: place(occasionBytes * occasions.length),
    waters: place(4 * capacity * width),
    eyes: place(4 * capacity * look),
    out: place(8 * capacity),
  };
  memory.grow(Math.max(0, Math.ceil((end - memory.buffer.byteLength) / pageBytes)));
  const view = new DataView(memory.buffer);
  for (const [i, one] of readings.entries()) writeReading(view, at.readings + readingBytes * i, one);
  for (const [i, one] of occasions.entries()) writeOccasion(view, at.occasions + occasionBytes * i, one);
  exports.suppose(fade, fadeFrom, fadeFull);
  // Lanes nobody fills must hold numbers too.
  const eyes = new Float32Array(memory.buffer, at.eyes, capacity * look).fill(1);
  return {
    waters: new Float32Array(memory.buffer, at.waters, capacity * width),
    eyes,
    logLikelihoods: new Float64Array(memory.buffer, at.out, capacity),
    weigh(first, last) {
      exports.weigh(
        Math.floor(first / lanes) * lanes,
        Math.ceil(last / lanes) * lanes,
        at.readings,
        at.occasions,
        occasions.length,
        at.waters,
        width,
        at.eyes,
        look,
        at.out,
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
