/**
 * Compiles the two kernels that run on vectors, what particles' water does (packages/nitrogen/wasm) and what readings
 * weigh (packages/evidence/wasm), and writes their bytes as modules. The modules are committed, so that nothing has to be
 * built before the first run; tests compile them again and compare. Needed only after a change to a kernel:
 * `node tools/build-kernel.mjs`.
 */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { holdInLocals } from './support/hold-in-locals.mjs';
import { root } from './support/root.mjs';

/**
 * `inlined`: largest function, in the optimiser's measure, that is put wherever it is called. `apart`: a function that is put
 * nowhere, so that with all it calls put into it it can hold in locals what lies in memory. `tables`: the module that says from
 * `passing` to `passingEnd` what of that nobody asks for afterwards.
 */
export const kernels = [
  {
    source: 'packages/nitrogen/wasm/kernel.ts',
    module: 'packages/nitrogen/src/batch/bytes.ts',
    inlined: 1000,
    apart: '*/advance/advance',
    tables: 'packages/nitrogen/wasm/tables',
  },
  {
    source: 'packages/evidence/wasm/kernel.ts',
    module: 'packages/evidence/src/numbers/bytes.ts',
    inlined: 250,
  },
];

/** Warning about vectors in a function's signature: none of ours is called from outside. */
const vectorsExchanged = '112';

/** Compiles a kernel; the bytes depend on the sources and the versions of compiler and optimiser alone. */
export async function compileKernel({ source, inlined, apart, tables }) {
  const { default: binaryen } = await import('binaryen');
  binaryen.setOptimizeLevel(3);
  binaryen.setShrinkLevel(0);
  binaryen.setAlwaysInlineMaxSize(inlined);
  // What is fetched and not looked at need not be fetched: no table lies outside memory.
  binaryen.setTrapsNeverHappen(true);
  const { SIMD128, MutableGlobals, BulkMemory, BulkMemoryOpt, SignExt, NontrappingFPToInt } =
    binaryen.Features;
  const features = SIMD128 | MutableGlobals | BulkMemory | BulkMemoryOpt | SignExt | NontrappingFPToInt;
  const written = binaryen.readBinary(compileAsWritten(source));
  written.setFeatures(features);
  if (apart) {
    binaryen.setPassArgument('no-inline', apart);
    written.runPasses(['no-inline']);
  }
  const passing = tables && passingIn(written.emitText(), tables);
  written.optimize();
  const held = binaryen.parseText(holdInLocals(written.emitText(), passing));
  held.setFeatures(features);
  if (!held.validate()) throw new Error(`${source}: what was held in locals is no longer a module`);
  held.optimize();
  return held.emitBinary();
}

/** Addresses between which a module of tables keeps what passes. */
function passingIn(text, tables) {
  const [from, until] = ['passing', 'passingEnd'].map((name) => {
    const found = text.match(new RegExp(`\\$${tables}/${name} i32 \\(i32\\.const (\\d+)\\)`));
    if (!found) throw new Error(`${tables} does not say where ${name} is`);
    return Number(found[1]);
  });
  return { from, until };
}

/** The compiler's own bytes, nothing optimised and functions named. In a process of its own: it sets the optimiser to its liking. */
function compileAsWritten(source) {
  const folder = mkdtempSync(join(tmpdir(), 'brinewright-kernel-'));
  try {
    const path = join(folder, 'kernel.wasm');
    execFileSync(
      process.execPath,
      [
        join(root, 'node_modules/assemblyscript/bin/asc.js'),
        ...[source, '--outFile', path, '--runtime', 'stub', '--enable', 'simd', '--noAssert'],
        ...['--optimizeLevel', '0', '--debug', '--disableWarning', vectorsExchanged],
      ],
      { cwd: root },
    );
    return readFileSync(path);
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** The module that carries a kernel's bytes. */
export async function kernelText(kernel) {
  const text = Buffer.from(await compileKernel(kernel)).toString('base64');
  return `/** ${kernel.source}, compiled by tools/build-kernel.mjs; change that, not this file. */
export const kernelBytes =
  '${text}';
`;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href)
  for (const kernel of kernels) writeFileSync(join(root, kernel.module), await kernelText(kernel));
