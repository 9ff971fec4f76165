import { assembleSystem } from '../../solver/mesh/assembly.js';
import { buildMesh } from '../../solver/mesh/mesh.js';
import { solveModes } from '../../solver/modes/eigen.js';
import { trackedViaduct } from './tracked-viaduct.js';

// One size in a process of its own, so that its peak memory is its own: prints JSON.
const spans = Number(process.argv[2]);
const start = performance.now();
const mesh = buildMesh(trackedViaduct(spans), { highestFrequency: 30 });
const { stiffness, mass } = assembleSystem(mesh);
const modes = solveModes(stiffness, mass, 2 * Math.PI * 30);
process.stdout.write(
  JSON.stringify({
    seconds: (performance.now() - start) / 1e3,
    unknowns: mesh.size,
    modes: modes.shapes.length,
    megabytes: Math.round(process.resourceUsage().maxRSS / 1024),
  }),
);
