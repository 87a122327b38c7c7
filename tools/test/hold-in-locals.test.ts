import binaryen from 'binaryen';
import { expect, it } from 'vitest';

interface Passing {
  readonly from: number;
  readonly until: number;
}
const { holdInLocals }: { holdInLocals(text: string, passing?: Passing): string } = await import(
  new URL('../support/hold-in-locals.mjs', import.meta.url).href
);

const doubled = '(f32x4.add (v128.load (i32.const 16)) (v128.load (i32.const 16)))';

/** A module as the optimiser writes it, of one function that works on vectors and has a local. */
function written(body: string): string {
  const module = binaryen.parseText(
    `(module (memory (export "memory") 1) (func $other) (func (export "go") (param $p i32) (local $spare i32) ${body}))`,
  );
  module.setFeatures(binaryen.Features.SIMD128);
  return module.emitText();
}

/** What a module leaves in memory of a vector of ones at 16. */
async function left(text: string): Promise<Float32Array> {
  const module = binaryen.parseText(text);
  module.setFeatures(binaryen.Features.SIMD128);
  expect(module.validate()).toBe(1);
  const { instance } = await WebAssembly.instantiate(new Uint8Array(module.emitBinary()));
  const { memory, go } = instance.exports as { memory: WebAssembly.Memory; go(p: number): void };
  const vectors = new Float32Array(memory.buffer, 0, 16);
  vectors.fill(1, 4, 8);
  go(32);
  return vectors;
}

it('holds vectors at fixed addresses in locals and leaves the same behind', async () => {
  const text = written(`(v128.store (i32.const 32) ${doubled}) (v128.store (i32.const 16) ${doubled})`);
  const held = holdInLocals(text);
  expect(held.match(/v128\.load/g)).toHaveLength(2);
  expect(held.match(/v128\.store/g)).toHaveLength(2);
  const vectors = await left(held);
  expect([...vectors.subarray(4, 12)]).toEqual([2, 2, 2, 2, 2, 2, 2, 2]);
  expect(vectors).toEqual(await left(text));
});

it('does not put back what nobody asks for afterwards', async () => {
  const text = written(
    `(v128.store (i32.const 32) ${doubled}) (v128.store (i32.const 16) (v128.load (i32.const 32)))`,
  );
  const held = holdInLocals(text, { from: 32, until: 48 });
  expect(held.match(/v128\.store/g)).toHaveLength(1);
  const vectors = await left(held);
  expect([...vectors.subarray(4, 12)]).toEqual([2, 2, 2, 2, 0, 0, 0, 0]);
});

it.each([
  ['another function is called', `(call $other) (v128.store (i32.const 32) ${doubled})`],
  ['an address is not known beforehand', `(v128.store (local.get $p) ${doubled})`],
  [
    'part of a vector is reached',
    `(i32.store (i32.const 20) (i32.const 0)) (v128.store (i32.const 32) ${doubled})`,
  ],
  ['vectors overlap', '(v128.store (i32.const 24) (v128.load (i32.const 16)))'],
  ['it may be left halfway', `(if (local.get $p) (then (return))) (v128.store (i32.const 32) ${doubled})`],
])('leaves a function as it is where %s', (_, body) => {
  const text = written(body);
  expect(holdInLocals(text)).toBe(text);
});
