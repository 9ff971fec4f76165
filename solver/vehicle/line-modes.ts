import { type DynamicModel, modalDamping } from '../dynamic-model/dynamic-model.js';
import { assembleSystem } from '../mesh/assembly.js';
import { modesAbove } from '../modes/eigen.js';
import { DeckShapes, type LineShapes, RailShapes } from './line-shapes.js';

/**
 * Hz. What a wheel does to rail, pads and slab is over in hundredths of a second: over a gap in the fastenings rails have modes at 60 and
 * 140 Hz, slabs on their bedding from 40 Hz on. See solver/README.md, Truncation under wheels.
 */
export const contactFrequency = 150;

/** The modes that move under wheels: all that rows are looked at in, and on a track those above them as well. */
export interface LineModes {
  /** rad/s, ascending; those of the model come first. */
  readonly angularFrequencies: Float64Array;
  readonly dampingRatios: Float64Array;
  /** What a wheel anywhere on the line does to each of them. */
  readonly shapes: LineShapes;
}

/**
 * On a deck without a track the modes of the model alone: wheels are carried by the deck itself, and what its higher modes do is the rule's to
 * leave out.
 *
 * @throws EigenvalueConvergenceError
 */
export function lineModes(model: DynamicModel, highestFrequency = contactFrequency): LineModes {
  const { mesh, modes, dampingRatios } = model;
  if (mesh.rail.length === 0)
    return { angularFrequencies: modes.angularFrequencies, dampingRatios, shapes: new DeckShapes(model) };
  const { stiffness, mass } = assembleSystem(mesh);
  const above = modesAbove(stiffness, mass, modes, 2 * Math.PI * highestFrequency);
  return {
    angularFrequencies: joined(modes.angularFrequencies, above.angularFrequencies),
    dampingRatios: joined(dampingRatios, modalDamping(mesh, above, model.deckDampingRatio)),
    shapes: new RailShapes(model, [...modes.shapes, ...above.shapes]),
  };
}

function joined(first: Float64Array, second: Float64Array): Float64Array {
  const all = new Float64Array(first.length + second.length);
  all.set(first);
  all.set(second, first.length);
  return all;
}
