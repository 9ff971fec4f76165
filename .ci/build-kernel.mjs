// Compiles solver/arithmetic/assembly/*.ts into solver/arithmetic/kernel-bytes.ts; with --check, compares instead of writing.
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import asc from 'assemblyscript/asc';

const folder = 'solver/arithmetic/assembly';
const target = 'solver/arithmetic/kernel-bytes.ts';
/** Only imported by the others: what it exports, the kernel does not. */
const parts = ['records.ts', 'sums.ts'];
const names = readdirSync(folder)
  .filter((name) => !parts.includes(name))
  .sort();
let binary;
const { error, stderr } = await asc.main(
  [
    ...names,
    ...['--outFile', 'kernel.wasm', '--runtime', 'stub', '--importMemory', '--enable', 'simd,bulk-memory'],
    ...['--optimizeLevel', '3', '--converge', '--noAssert'],
  ],
  {
    readFile: (name) => (existsSync(`${folder}/${name}`) ? readFileSync(`${folder}/${name}`, 'utf8') : null),
    writeFile: (_, contents) => {
      binary = contents;
    },
    listFiles: () => [],
  },
);
if (error) {
  console.error(stderr.toString());
  process.exit(1);
}
const lines = Buffer.from(binary)
  .toString('base64')
  .match(/.{1,100}/g);
const text = `// Written by \`npm run build:kernel\` from assembly/*.ts.

/** The compiled kernel, base64. */
export const kernelBytes = [
${lines.map((line) => `  '${line}',`).join('\n')}
].join('');
`;
if (!process.argv.includes('--check')) {
  writeFileSync(target, text);
  console.log(`${target}: ${binary.length} bytes`);
} else if (readFileSync(target, 'utf8') === text) {
  console.log(`${target} is what ${folder} compiles to`);
} else {
  console.error(`${target} is not what ${folder} compiles to: run npm run build:kernel`);
  process.exit(1);
}
