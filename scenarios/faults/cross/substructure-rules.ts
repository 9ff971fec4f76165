import { SingularMatrixError } from '../../../solver/matrices/banded-factorisation.js';
import { condenseFrame } from '../../../solver/mesh/plane-frame.js';
import { type Fault, fault, type Path } from '../../fault.js';
import { scenarioBounds } from '../../schema/bounds.js';
import { numberText } from '../../schema/quantity.js';
import { supportsFlexibility } from '../../schema/substructure.js';
import { planeFrameOf } from '../../translation/substructure.js';
import { duplicates } from './duplicates.js';
import { entries, member, numberIn, spanLengths, textIn } from './lenient.js';
import { unknownSupport } from './references.js';

const root: Path = ['supports_flexibility'];
/** Two halves of a matrix typed with four digits may differ by this share of the diagonal. */
const asymmetry = 1e-4;
/** m: a column that stands further than this from its support is another column. */
const besideSupport = 1;

/** What supports stand on together: a matrix or a frame, of supports that exist, each once; a matrix that a structure can have. */
export function substructureRules(document: unknown): readonly Fault[] {
  const given = member(document, 'supports_flexibility');
  if (given === undefined) return [];
  const [matrix, frame] = [member(given, 'flexibility_m_per_N'), member(given, 'frame')];
  if ((matrix === undefined) === (frame === undefined)) {
    return [
      fault(root, 'exactly-one', {
        found:
          matrix === undefined
            ? 'neither flexibility_m_per_N nor frame'
            : 'both flexibility_m_per_N and frame',
        accepted: 'either supports with their flexibility_m_per_N, or a frame of nodes and bars',
      }),
    ];
  }
  return frame === undefined ? matrixFaults(document, given) : frameFaults(document, given);
}

function matrixFaults(document: unknown, given: unknown): readonly Fault[] {
  const supports = entries(given, 'supports', scenarioBounds.coupledSupports);
  const rows = entries(given, 'flexibility_m_per_N', scenarioBounds.coupledSupports);
  if (member(given, 'supports') === undefined) {
    return [
      fault([...root, 'supports'], 'missing-key', {
        found: 'nothing',
        accepted: 'the ids of the supports that the rows of the matrix belong to',
      }),
    ];
  }
  const faults: Fault[] = [];
  const seen = new Set<unknown>();
  supports.forEach((id, index) => {
    faults.push(...unknownSupport(document, id, [...root, 'supports', index]));
    if (seen.has(id)) faults.push(twice(id, [...root, 'supports', index]));
    seen.add(id);
  });
  const path = [...root, 'flexibility_m_per_N'];
  const values = rows.map((row) => (Array.isArray(row) ? row : []));
  const ragged = values.findIndex((row) => row.length !== supports.length);
  if (rows.length !== supports.length || ragged >= 0) {
    const [found, where] =
      rows.length === supports.length
        ? [`${values[ragged]!.length} columns in row ${ragged + 1}`, [...path, ragged]]
        : [`${rows.length} rows`, path];
    faults.push(
      fault(where, 'count-mismatch', {
        found: `${found} for ${supports.length} supports`,
        accepted: `${supports.length} rows of ${supports.length} numbers, m/N`,
      }),
    );
    return faults;
  }
  const numbers = values.map((row) => row.flatMap((value) => (typeof value === 'number' ? [value] : [])));
  if (numbers.some((row) => row.length !== supports.length)) return faults;
  return [...faults, ...symmetryFaults(numbers, path)];
}

function symmetryFaults(matrix: readonly (readonly number[])[], path: Path): readonly Fault[] {
  for (let i = 0; i < matrix.length; i++) {
    for (let j = 0; j < i; j++) {
      const [below, above] = [matrix[i]![j]!, matrix[j]![i]!];
      const scale = Math.max(Math.abs(matrix[i]![i]!), Math.abs(matrix[j]![j]!));
      if (Math.abs(below - above) <= asymmetry * scale) continue;
      return [
        fault([...path, i, j], 'implausible', {
          found: `${numberText(below)} m/N, and ${numberText(above)} m/N on the other side of the diagonal`,
          accepted:
            'a symmetric matrix: a load at one support moves another as much as the other way round (Maxwell)',
        }),
      ];
    }
  }
  const failing = firstIndefinite(matrix);
  if (failing === null) return [];
  return [
    fault([...path, failing, failing], 'implausible', {
      found: `${numberText(matrix[failing]![failing]!)} m/N, with which the matrix is not positive definite`,
      accepted:
        'a positive definite matrix: every set of loads does positive work on its own displacements, so that the diagonal outweighs the rest',
      guess: 'Is it a stiffness matrix, or is the sign of an entry turned round?',
    }),
  ];
}

/** Row at which L D L^T meets a pivot that is not clearly positive; null for a positive definite matrix. */
function firstIndefinite(matrix: readonly (readonly number[])[]): number | null {
  const rest = matrix.map((row) => [...row]);
  for (let k = 0; k < rest.length; k++) {
    const pivot = rest[k]![k]!;
    if (!(pivot > 1e-9 * Math.abs(matrix[k]![k]!))) return k;
    for (let i = k + 1; i < rest.length; i++) {
      const share = rest[i]![k]! / pivot;
      for (let j = k; j < rest.length; j++) rest[i]![j]! -= share * rest[k]![j]!;
    }
  }
  return null;
}

function frameFaults(document: unknown, given: unknown): readonly Fault[] {
  const path = [...root, 'frame'];
  const frame = member(given, 'frame');
  const nodes = entries(frame, 'nodes', scenarioBounds.frameNodes);
  const bars = entries(frame, 'bars', scenarioBounds.frameBars);
  const faults: Fault[] = [...duplicates(nodes, [...path, 'nodes'], 'id', 'node')];
  if (member(given, 'supports') !== undefined) {
    faults.push(
      fault([...root, 'supports'], 'not-applicable', {
        found: 'supports beside a frame',
        accepted: 'the support named at the node that carries it',
      }),
    );
  }
  const carried = nodes.flatMap((node) => textIn(node, 'support') ?? []);
  if (nodes.length > 0 && (carried.length === 0 || carried.length > scenarioBounds.coupledSupports)) {
    faults.push(
      fault([...path, 'nodes'], carried.length === 0 ? 'too-few' : 'too-many', {
        found: `${carried.length} nodes with a support`,
        accepted: `1 to ${scenarioBounds.coupledSupports} nodes that carry a support of the deck`,
      }),
    );
  }
  faults.push(
    ...nodes.flatMap((node, index) => nodeFaults(document, node, carried, [...path, 'nodes', index])),
    ...bars.flatMap((bar, index) => barFaults(nodes, bar, [...path, 'bars', index])),
  );
  return faults.length > 0 ? faults : mechanismFaults(given, path);
}

function nodeFaults(
  document: unknown,
  node: unknown,
  carried: readonly string[],
  path: Path,
): readonly Fault[] {
  const support = textIn(node, 'support');
  if (support === null) return [];
  const unknown = unknownSupport(document, support, [...path, 'support']);
  if (unknown.length > 0) return unknown;
  const faults: Fault[] = [];
  if (carried.filter((one) => one === support).length > 1) faults.push(twice(support, [...path, 'support']));
  if (member(node, 'held') !== undefined) {
    faults.push(
      fault([...path, 'held'], 'not-applicable', {
        found: `a node held by the ground that carries support ${JSON.stringify(support)}`,
        accepted: 'a node that can move; a support that stands on the ground needs no frame',
      }),
    );
  }
  const at = supportPosition(document, support);
  const x = numberIn(node, 'x_m');
  if (at !== null && x !== null && Math.abs(x - at) > besideSupport) {
    faults.push(
      fault([...path, 'x_m'], 'implausible', {
        found: `${numberText(x)} m under support ${JSON.stringify(support)}, which stands at ${numberText(at)} m`,
        accepted: `${numberText(at)} m, within ${besideSupport} m`,
      }),
    );
  }
  return faults;
}

function supportPosition(document: unknown, id: string): number | null {
  const index = entries(document, 'supports').findIndex((support) => textIn(support, 'id') === id);
  const lengths = spanLengths(document);
  return lengths === null || index > lengths.length
    ? null
    : lengths.slice(0, index).reduce((sum, length) => sum + length, 0);
}

function barFaults(nodes: readonly unknown[], bar: unknown, path: Path): readonly Fault[] {
  const ids = nodes.flatMap((node) => textIn(node, 'id') ?? []);
  const faults = (['from', 'to'] as const).flatMap((key) => {
    const id = textIn(bar, key);
    if (id === null || ids.includes(id)) return [];
    return [
      fault([...path, key], 'unknown-node', {
        found: `the text ${JSON.stringify(id)}`,
        accepted: `the id of a node: ${ids.slice(0, 30).join(', ')}`,
      }),
    ];
  });
  const [from, to] = (['from', 'to'] as const).map((key) =>
    nodes.find((node) => textIn(node, 'id') === textIn(bar, key)),
  );
  if (from === undefined || to === undefined) return faults;
  const along = (key: string) => (numberIn(to, key) ?? Number.NaN) - (numberIn(from, key) ?? Number.NaN);
  if (Math.hypot(along('x_m'), along('z_m')) < 0.05) {
    faults.push(
      fault([...path, 'to'], 'implausible', {
        found: 'a bar of no length',
        accepted: 'a bar between two nodes at least 0.05 m apart',
      }),
    );
  }
  return faults;
}

/** A frame that cannot stand; asked once every other fault is gone. */
function mechanismFaults(given: unknown, path: Path): readonly Fault[] {
  const parsed = supportsFlexibility.safeParse(given);
  if (!parsed.success || parsed.data.frame === undefined) return [];
  try {
    condenseFrame(planeFrameOf(parsed.data.frame));
    return [];
  } catch (error) {
    if (!(error instanceof SingularMatrixError)) throw error;
    return [
      fault(path, 'implausible', {
        found: 'a frame that can move without resistance',
        accepted: 'a frame that stands: nodes held by the ground and bars that brace it',
        guess:
          'Is a node not "held", or are bars without flexural_rigidity_N_m2 hinged that should be stiff?',
      }),
    ];
  }
}

function twice(id: unknown, path: Path): Fault {
  return fault(path, 'duplicate-name', {
    found: `${JSON.stringify(id)}, named twice`,
    accepted: 'each support once: it stands on one point',
  });
}
