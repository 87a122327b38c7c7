import { layOut } from '@brinewright/nitrogen';
import { kernelBytes } from '../../numbers/bytes.ts';
import { lanes } from '../../numbers/fours.ts';
import { priorBytes, writePriors } from '../../numbers/priors.ts';
import { freedom } from '../cloud.ts';
import type { Leaning } from '../shear.ts';
import type { Mover, MoverShape } from './shape.ts';

/** What wasm/move.ts exports. Addresses and counts are 32-bit. */
interface MoveExports {
  takeShape(...args: number[]): void;
  propose(...args: number[]): void;
}

const leaningBytes = 36;
const spellBytes = 8;
/** Leanings there is room for, and lively spells in each. */
const mostLeanings = 6;

/** Four particles at a time in WebAssembly, with a memory of its own; null where that cannot be had. */
export function vectorMover({ priors, capacity: asked }: MoverShape): Mover | null {
  const size = priors.length;
  const capacity = Math.ceil(asked / lanes) * lanes;
  const numbers = 4 * capacity * size;
  const desk = layOut<MoveExports>(kernelBytes, () => [
    ...[priorBytes * size, 4 * size, 4 * size * size],
    ...[leaningBytes * mostLeanings, spellBytes * mostLeanings * size, 32 * size],
    ...[numbers, numbers, numbers, 4 * capacity, 4 * capacity],
  ]);
  if (!desk) return null;
  const { kernel, buffer } = desk;
  const [prior, mean, lower, leaning, spell, work, here, proposals, values, gammas, gains] =
    desk.at as readonly number[] & { length: 11 };
  const view = new DataView(buffer);
  writePriors(view, prior!, priors);
  const single = (at: number, length: number): Float32Array => new Float32Array(buffer, at, length);
  return {
    here: single(here!, capacity * size),
    proposals: single(proposals!, capacity * size),
    values: single(values!, capacity * size),
    gammas: single(gammas!, capacity).fill(1),
    gains: single(gains!, capacity),
    takeShape({ cloud, leanings }) {
      single(mean!, size).set(cloud.mean);
      single(lower!, size * size).set(cloud.lower);
      writeLeanings(view, leaning!, spell!, leanings);
      kernel.takeShape(size, prior!, mean!, lower!, leaning!, leanings.length, spell!, freedom, work!);
    },
    propose(count, share, word, key) {
      const upTo = Math.ceil(count / lanes) * lanes;
      kernel.propose(upTo, share, word, key, here!, proposals!, values!, gammas!, gains!);
    },
  };
}

function writeLeanings(view: DataView, at: number, spells: number, leanings: readonly Leaning[]): void {
  let spell = 0;
  for (const [i, { size, growth, half, wake, slope, fed, after, lively }] of leanings.entries()) {
    const here = at + leaningBytes * i;
    for (const [j, place] of [size, growth, half, wake].entries()) view.setInt32(here + 4 * j, place, true);
    for (const [j, number] of [slope, fed, after].entries()) view.setFloat32(here + 16 + 4 * j, number, true);
    view.setInt32(here + 28, spell, true);
    for (const { vigour, days } of lively) {
      view.setInt32(spells + spellBytes * spell, vigour, true);
      view.setFloat32(spells + spellBytes * spell + 4, days, true);
      spell++;
    }
    view.setInt32(here + 32, spell, true);
  }
}
