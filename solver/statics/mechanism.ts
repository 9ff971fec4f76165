import { BandedFactorisation, SingularMatrixError } from '../matrices/banded-factorisation.js';
import { assembleSystem } from '../mesh/assembly.js';
import { spanLength } from '../mesh/grid.js';
import { buildMesh, type Mesh } from '../mesh/mesh.js';
import type { Node } from '../mesh/mesh-nodes.js';
import type { Viaduct } from '../viaduct/model.js';
import { findLoosePanels, type LooseStretch } from './loose-panels.js';

/** A part of deck or slab that nothing holds. */
export interface Mechanism {
  /** Spans that move, by index, ascending. */
  readonly spans: readonly number[];
  /** The deck only turns about x, which no pair of bearings and no part of the deck that such a pair holds keeps it from. */
  readonly turns: boolean;
  /** Supports of the moving spans that no longer carry. */
  readonly lostSupports: readonly string[];
  /** Slab panels that neither bedding nor fastenings hold, on a deck that stands. */
  readonly loosePanels: readonly LooseStretch[];
}

/** A pivot this small against its diagonal is a motion without resistance; round-off alone leaves about 1e-16. */
const vanishing = 1e-12;

/**
 * Looks for a mechanism of deck and supports alone, to which rails and slab lend nothing, then for panels of the slab that lie loose. Whether something holds does not depend on how stiffly,
 * so that it is asked first of a deck and supports of like stiffness everywhere: where stiff spans stand beside limp ones round-off
 * hides a motion without resistance. A structure held so softly that the numbers cannot tell is a mechanism as well.
 *
 * @returns null for a deck that stands, its slab held
 */
export function findMechanism(viaduct: Viaduct): Mechanism | null {
  const ofDeck = mechanismOf(ofLikeStiffness(viaduct), viaduct) ?? mechanismOf(viaduct, viaduct);
  if (ofDeck) return ofDeck;
  const loosePanels = findLoosePanels(viaduct);
  return loosePanels.length > 0 ? { spans: [], turns: false, lostSupports: [], loosePanels } : null;
}

/** One beam element per section is exact here and keeps the pivots apart from round-off. */
function mechanismOf(model: Viaduct, viaduct: Viaduct): Mechanism | null {
  const mesh = buildMesh({ ...model, track: null }, { highestFrequency: 0 });
  const { stiffness } = assembleSystem(mesh);
  const motions: Float64Array[] = [];
  // Each motion found is held fast, so that the next one shows; there are no more motions than degrees of freedom.
  while (motions.length <= mesh.size) {
    try {
      new BandedFactorisation(stiffness, vanishing);
      break;
    } catch (error) {
      if (!(error instanceof SingularMatrixError)) throw error;
      motions.push(error.nullVector);
      const held = error.degreeOfFreedom;
      stiffness.add(held, held, Math.abs(stiffness.get(held, held)) || 1);
    }
  }
  return motions.length > 0 ? describe(mesh, viaduct, motions) : null;
}

/** Spans of one section, 12 E I / L^3 and the springs of the supports that carry being 12 N/m, each support on ground of its own. */
function ofLikeStiffness({ spans, supports, dampingRatio }: Viaduct): Viaduct {
  return {
    spans: spans.map((span) => {
      const length = spanLength(span);
      const { massPerLength, torsion } = span.segments[0]!;
      return {
        segments: [
          {
            length,
            massPerLength,
            flexuralRigidity: length ** 3,
            shearRigidity: null,
            ...(torsion ? { torsion: { ...torsion, rigidity: length } } : {}),
          },
        ],
      };
    }),
    supports: supports.map((support) => ({ ...support, stiffness: support.stiffness > 0 ? 12 : 0 })),
    track: null,
    dampingRatio,
  };
}

function describe(mesh: Mesh, viaduct: Viaduct, motions: readonly Float64Array[]): Mechanism {
  const bends = ({ deflection, rotation }: Node) =>
    motions.some(
      (motion) =>
        (deflection >= 0 && Math.abs(motion[deflection]!) > 1e-6) || Math.abs(motion[rotation]!) > 1e-6,
    );
  const twists = ({ twist }: Node) => twist >= 0 && motions.some((motion) => Math.abs(motion[twist]!) > 1e-6);
  const moves = (node: Node) => bends(node) || twists(node);
  const spans = new Set<number>();
  mesh.deck.forEach((element, index) => {
    if (moves(element.start) || moves(element.end)) spans.add(mesh.deckSpan[index]!);
  });
  const moving = [...spans].sort((a, b) => a - b);
  const lost = viaduct.supports.filter(
    (support, index) =>
      !(support.bearing && support.stiffness > 0) && (spans.has(index) || spans.has(index - 1)),
  );
  const turns = !mesh.deck.some(({ start, end }) => bends(start) || bends(end));
  return { spans: moving, turns, lostSupports: lost.map((support) => support.id), loosePanels: [] };
}
