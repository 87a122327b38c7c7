/**
 * Compiles the two kernels that run on vectors, what particles' water does (packages/nitrogen/wasm) and what readings
 * weigh (packages/evidence/wasm), and writes their bytes as modules. The modules are committed, so that nothing has to be
 * built before the first run; tests compile them again and compare. Needed only after a change to a kernel:
 * `node tools/build-kernel.mjs`.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { root } from './support/root.mjs';

export const kernels = [
  { source: 'packages/nitrogen/wasm/kernel.ts', module: 'packages/nitrogen/src/batch/bytes.ts' },
  { source: 'packages/evidence/wasm/kernel.ts', module: 'packages/evidence/src/numbers/bytes.ts' },
];

/** Warning about vectors in a function's signature: none of ours is called from outside. */
const vectorsExchanged = '112';

/** Compiles a kernel; the bytes depend on the sources and the compiler's version alone. */
export async function compileKernel(source) {
  const asc = await import('assemblyscript/asc');
  let bytes;
  const { error, stderr } = await asc.main(
    [
      source,
      ...['--outFile', 'kernel.wasm', '--runtime', 'stub', '--enable', 'simd', '--noAssert'],
      ...['--optimizeLevel', '3', '--shrinkLevel', '0', '--converge', '--disableWarning', vectorsExchanged],
    ],
    {
      writeFile: (_name, contents) => {
        bytes = contents;
      },
    },
  );
  if (error) throw new Error(`${source} does not compile: ${stderr.toString()}`);
  return bytes;
}

/** The module that carries a kernel's bytes. */
export async function kernelText({ source }) {
  const text = Buffer.from(await compileKernel(source)).toString('base64');
  return `/** ${source}, compiled by tools/build-kernel.mjs; change that, not this file. */
export const kernelBytes =
  '${text}';
`;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href)
  for (const kernel of kernels) writeFileSync(join(root, kernel.module), await kernelText(kernel));
