// Dependencies point downwards only: api -> worker -> scenarios -> solver, and from folder to folder within the solver; tests may use everything.
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';

const allowed = {
  solver: ['solver'],
  scenarios: ['scenarios', 'solver'],
  worker: ['worker', 'scenarios', 'solver'],
  api: ['api', 'worker', 'scenarios', 'solver'],
};
/** A folder of the solver imports from itself and from those before it. */
const solverFolders = [
  ...['viaduct', 'matrices', 'mesh', 'lines', 'held-track', 'arithmetic', 'modes', 'rows', 'jumps', 'peaks'],
  ...['dynamic-model', 'passage', 'statics', 'deck-ends', 'comfort', 'vehicle'],
];
const root = resolve(dirname(new URL(import.meta.url).pathname), '..');
const problems = [];
const graph = new Map();

for (const folder of Object.keys(allowed)) {
  for (const entry of readdirSync(join(root, folder), { recursive: true })) {
    if (!/\.ts$/.test(entry)) continue;
    if (folder === 'solver' && !solverFolders.includes(entry.split('/')[0]))
      problems.push(
        `solver/${entry}: name its folder in .ci/import-direction.mjs, after those it imports from`,
      );
    const file = join(root, folder, entry);
    const text = readFileSync(file, 'utf8');
    const targets = [];
    for (const match of text.matchAll(/(?:from|import)\s*\(?\s*'([^']+)'/g)) {
      const specifier = match[1];
      if (specifier.startsWith('.')) {
        const target = relative(root, resolve(dirname(file), specifier)).replace(/\.js$/, '.ts');
        targets.push(target);
        const top = target.split('/')[0];
        if (!allowed[folder].includes(top))
          problems.push(`${relative(root, file)}: ${folder} may not import from ${top}`);
        if (folder === 'solver') {
          const [from, to] = [dirname(entry), dirname(relative('solver', target))].map(
            (path) => path.split('/')[0],
          );
          if (solverFolders.indexOf(to) > solverFolders.indexOf(from))
            problems.push(`${relative(root, file)}: solver/${from} may not import from solver/${to}`);
        }
      } else if (folder === 'solver' && !['ml-matrix', 'fft.js'].includes(specifier)) {
        problems.push(
          `${relative(root, file)}: the solver may not import ${specifier} (numerics only, no I/O)`,
        );
      }
    }
    graph.set(relative(root, file), targets);
  }
}

const state = new Map();
function visit(file, path) {
  if (state.get(file) === 'done') return;
  if (state.get(file) === 'open') {
    problems.push(`import cycle: ${[...path.slice(path.indexOf(file)), file].join(' -> ')}`);
    return;
  }
  state.set(file, 'open');
  for (const target of graph.get(file) ?? []) if (graph.has(target)) visit(target, [...path, file]);
  state.set(file, 'done');
}
for (const file of graph.keys()) visit(file, []);

for (const problem of problems) console.error(problem);
console.log(`import direction: ${graph.size} files, ${problems.length} problems`);
process.exit(problems.length ? 1 : 0);
