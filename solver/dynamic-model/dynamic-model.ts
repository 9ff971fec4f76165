import type { RowSet } from '../arithmetic/row-set.js';
import { type ForceBreaks, findForceBreaks, hasJumps } from '../jumps/force-breaks.js';
import { type InfluenceLine, withoutIdleJumps } from '../jumps/influence-jumps.js';
import { kinkedLines, residualLines } from '../jumps/passage-lines.js';
import { findRowBreaks, noRowBreaks, type RowBreaks } from '../jumps/row-breaks.js';
import { buildLoadedLine, type LoadedLine, sampleAlongLine } from '../lines/loaded-line.js';
import { BandedFactorisation } from '../matrices/banded-factorisation.js';
import { assembleSystem, stretchOf } from '../mesh/assembly.js';
import { longestElement } from '../mesh/grid.js';
import { buildMesh, type Mesh } from '../mesh/mesh.js';
import { lowestFrequencies, type Modes, solveModes } from '../modes/eigen.js';
import { type LocalCoordinates, localCoordinates } from '../modes/local-coordinates.js';
import { buildResponseRows } from '../rows/build-response-rows.js';
import { isAcceleration, type ResponseRow } from '../rows/response-rows.js';
import { buildRowSets } from '../rows/row-sets.js';
import { valuesInModes } from '../rows/values-in-modes.js';
import type { TrackLayer, Viaduct } from '../viaduct/model.js';
import { InfluenceLines } from './influence-lines.js';
import { type Mirror, mirrorOf } from './mirror.js';

/** What depends on the track that a train runs on. */
export interface LoadedTrack {
  readonly line: LoadedLine;
  /** Deflection of the loaded line in each mode, at its samples. */
  readonly modeLines: readonly Float64Array[];
  /** Jumps and kinks of the mode lines; null with a track. */
  readonly forceBreaks: ForceBreaks | null;
  readonly rowBreaks: RowBreaks;
  /** Static influence line of each row at the samples of the loaded line; null for accelerations. */
  readonly influenceLines: readonly (InfluenceLine | null)[];
  /** What the passage adds to the modes: influence lines less the modes' share in them where forces jump, else the lines themselves. */
  readonly passageLines: readonly (InfluenceLine | null)[];
  /** Null where a train in reverse may do what none does forwards. */
  readonly mirror: Mirror | null;
}

/** Everything about one state of a structure that no train and no speed changes, with the trains on one of its tracks. */
export interface DynamicModel extends LoadedTrack {
  /** Every track; the model itself is that of the first. */
  readonly tracks: readonly LoadedTrack[];
  readonly mesh: Mesh;
  readonly modes: Modes;
  /** Per mode. */
  readonly dampingRatios: Float64Array;
  /** The deck's own, which no mode falls short of. */
  readonly deckDampingRatio: number;
  /** Steps of the line per sample of a train's tables of rows. */
  readonly rowStride: number;
  readonly rows: readonly ResponseRow[];
  /** rows x modes, row by row: the row's value in each mode. */
  readonly modalValues: Float64Array;
  /** The rows by quantity and span, as the passage works through them. */
  readonly rowSets: readonly RowSet[];
  /** Coordinates that the passage takes for the modes when it looks at rows; null where it takes the modes. */
  readonly local: LocalCoordinates | null;
  /** The row sets in those coordinates; the same sets where there are none. */
  readonly localSets: readonly RowSet[];
  /** Shortest span. */
  readonly shortestSpan: number;
}

export interface DynamicModelOptions {
  /** Elements per ordinary element; for convergence studies. */
  readonly refinement?: number;
  /** m between samples of the loaded line. */
  readonly lineStep?: number;
  /** Hz; replaces the rule of the code, for studies of truncation. */
  readonly highestFrequency?: number;
  /** Layers of the track whose moments are wanted; none, unless given. */
  readonly momentsOf?: readonly TrackLayer[];
}

/** Hz: EN 1990 A2.4.4.2.1(4) (mem) asks for all modes to the highest of 30 Hz, 1.5 times the first and the third frequency. */
export const codeFrequency = 30;

/**
 * Builds mesh, modes and influence lines of a viaduct that stands (no mechanism).
 *
 * @throws SingularMatrixError for a mechanism, EigenvalueConvergenceError
 */
export function buildDynamicModel(viaduct: Viaduct, options: DynamicModelOptions = {}): DynamicModel {
  const wanted = options.highestFrequency ?? codeFrequency;
  const mesh = buildMesh(viaduct, { highestFrequency: wanted, refinement: options.refinement ?? 1 });
  const system = assembleSystem(mesh);
  const factorisation = new BandedFactorisation(system.stiffness);
  const top = 2 * Math.PI * wanted;
  const vertical = verticalFrequencies(viaduct, mesh, wanted);
  const modes = solveModes(system.stiffness, system.mass, top, (first, third) =>
    options.highestFrequency === undefined
      ? Math.max(1.5 * (vertical?.first ?? first), vertical?.third ?? third)
      : first,
  );
  const shortestSpan = Math.min(...Array.from(mesh.grid.supports, (_, i) => spanAt(mesh, i)));
  // Without a track the step bounds what is lost of a moment whose kink an axle passes between two samples; the places of moments
  // of equal spans, sixtieths, fall on samples.
  // With one the rail's shape between seats must be followed at walking pace, statics not so closely.
  const finest = viaduct.track
    ? Math.min(0.05, shortestSpan / 200)
    : Math.min(0.1, shortestSpan / 420, ...viaduct.spans.map((span) => longestElement(span, null) / 2));
  const dampingRatios = modalDamping(mesh, modes, viaduct.dampingRatio);
  const rows = buildResponseRows(mesh, viaduct, options.momentsOf);
  const modalValues = valuesInModes(rows, modes);
  const tracks = (viaduct.tracks ?? [{ eccentricity: 0 }]).map(({ eccentricity }, track): LoadedTrack => {
    const line = buildLoadedLine(mesh, options.lineStep ?? finest, { track, eccentricity });
    const modeLines = modes.shapes.map((shape) => sampleAlongLine(line, shape));
    const { lines, settled } = staticLines(rows, factorisation, line);
    const forceBreaks = findForceBreaks(mesh, modes, line, shortestSpan);
    const forcesJump = forceBreaks && hasJumps(forceBreaks);
    const rowBreaks = forceBreaks
      ? findRowBreaks(rows, modalValues, modes, forceBreaks)
      : noRowBreaks(rows.length);
    const influenceLines =
      forceBreaks && !forcesJump ? kinkedLines(settled, rowBreaks, forceBreaks, line.step) : settled;
    const passageLines = forcesJump
      ? residualLines(lines, modeLines, modalValues, modes, forceBreaks, line.step)
      : influenceLines;
    const loaded = { line, modeLines, forceBreaks, rowBreaks, influenceLines, passageLines };
    return { ...loaded, mirror: mirrorOf({ ...loaded, modes, dampingRatios, rows, modalValues }) };
  });
  const places: number[] = [];
  for (let row = 0; row < rows.length; row++) if (isAcceleration(rows[row]!.quantity)) places.push(row);
  const local = localCoordinates(modes, modalValues, places);
  const rowSets = buildRowSets(rows, modes, modalValues);
  return {
    ...tracks[0]!,
    tracks,
    mesh,
    modes,
    dampingRatios,
    deckDampingRatio: viaduct.dampingRatio,
    rowStride: viaduct.track ? 2 : 1,
    rows,
    modalValues,
    rowSets,
    local,
    localSets: local ? buildRowSets(rows, modes, modalValues, local) : rowSets,
    shortestSpan,
  };
}

/** The influence line of each row, null for accelerations; `settled` without jumps that are none. */
function staticLines(rows: readonly ResponseRow[], factorisation: BandedFactorisation, line: LoadedLine) {
  const statics = new InfluenceLines(factorisation, line);
  const lines: (InfluenceLine | null)[] = [];
  const settled: (InfluenceLine | null)[] = [];
  for (const row of rows) {
    const own = isAcceleration(row.quantity) ? null : statics.of(row);
    lines.push(own);
    settled.push(own && withoutIdleJumps(own));
  }
  return { lines, settled };
}

/** The same model with the trains on another track. */
export function onTrack(model: DynamicModel, track: number): DynamicModel {
  return { ...model, ...model.tracks[track]! };
}

/** The rule of the code counts vertical modes: those of the deck that cannot turn. Null where torsion is left out. */
function verticalFrequencies(viaduct: Viaduct, { torsion }: Mesh, highestFrequency: number) {
  if (torsion.length === 0) return null;
  const untwisted: Viaduct = {
    spans: viaduct.spans.map(({ segments }) => ({
      segments: segments.map(({ torsion: _, ...segment }) => segment),
    })),
    supports: viaduct.supports.map(({ bearingSpread: _, lostBearing: __, ...support }) => support),
    ...(viaduct.substructure && { substructure: viaduct.substructure }),
    track: viaduct.track,
    dampingRatio: viaduct.dampingRatio,
  };
  const { stiffness, mass } = assembleSystem(buildMesh(untwisted, { highestFrequency }));
  return lowestFrequencies(stiffness, mass);
}

function spanAt(mesh: Mesh, support: number): number {
  const { supports, x } = mesh.grid;
  return support + 1 < supports.length
    ? x[supports[support + 1]!]! - x[supports[support]!]!
    : Number.POSITIVE_INFINITY;
}

/**
 * The deck's ratio, or the diagonal of the dashpots of fastening and bedding, 2 zeta w = phi^T C phi, where that is more:
 * modes of the track on its bedding are damped by the bedding, deck modes never by more than the deck.
 */
export function modalDamping(mesh: Mesh, modes: Modes, deckRatio: number): Float64Array {
  const dashpots = mesh.springs
    .filter(({ damping }) => damping > 0)
    .map((spring) => ({ ...stretchOf(spring), damping: spring.damping }));
  const ratios = new Float64Array(modes.shapes.length);
  for (let j = 0; j < ratios.length; j++) {
    const shape = modes.shapes[j]!;
    let dissipation = 0;
    for (const { freedoms, weights, damping } of dashpots) {
      let stretch = 0;
      for (let k = 0; k < freedoms.length; k++)
        if (freedoms[k]! >= 0) stretch += weights[k]! * shape[freedoms[k]!]!;
      dissipation += damping * stretch * stretch;
    }
    ratios[j] = Math.min(0.95, Math.max(deckRatio, dissipation / (2 * modes.angularFrequencies[j]!)));
  }
  return ratios;
}
