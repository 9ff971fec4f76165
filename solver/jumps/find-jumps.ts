import type { LoadedLine } from '../lines/loaded-line.js';
import { withinSimpleSpan } from '../mesh/beam-element.js';
import { deflectionWithin } from '../mesh/deflection-within.js';
import type { Node } from '../mesh/mesh-nodes.js';
import type { ResponseRow } from '../rows/response-rows.js';
import type { InfluenceJump } from './influence-jumps.js';

/**
 * Every place where a row's influence line may jump, or peak with a kink, also where both sides turn out the same.
 *
 * @param displacement what the row's own vector as a load does
 */
export function findJumps(
  row: Pick<ResponseRow, 'direct'>,
  displacement: Float64Array,
  line: LoadedLine,
): InfluenceJump[] {
  return line.deck.length > 0 ? jumpsOf(row, displacement, line) : peaksOf(row, displacement, line);
}

/** The line on either side of what may be a jump: the ends of decks, and those of the elements that a load acts on directly. */
function jumpsOf(
  row: Pick<ResponseRow, 'direct'>,
  displacement: Float64Array,
  line: LoadedLine,
): InfluenceJump[] {
  const { deck, eccentricity } = line;
  const places = new Set(line.deckEnds);
  for (const { element } of row.direct) places.add(element).add(element + 1);
  const factorOf = (element: number, shape: number) =>
    row.direct.reduce(
      (sum, part) => sum + (part.element === element && part.shape === shape ? part.factor : 0),
      0,
    );
  const at = (freedom: number) => (freedom >= 0 ? displacement[freedom]! : 0);
  // A wheel on a node presses on it and turns it.
  const limit = (element: number, { deflection, twist }: Node, press: number, turn: number) =>
    at(deflection) +
    factorOf(element, press) +
    (eccentricity === 0 ? 0 : eccentricity * (at(twist) + factorOf(element, turn)));
  return [...places].map((place) => {
    const left = deck[place - 1];
    const right = deck[place];
    const x = right ? right.x : left!.x + left!.length;
    return {
      at: placeOf(x, line),
      before: left ? limit(place - 1, left.end, 2, 5) : 0,
      beyond: right ? limit(place, right.start, 0, 4) : 0,
      kink: 0,
    };
  });
}

/** Where a moment of the rail peaks: under a wheel at its place, with a kink that samples would cut off. */
function peaksOf(
  { direct }: Pick<ResponseRow, 'direct'>,
  displacement: Float64Array,
  line: LoadedLine,
): InfluenceJump[] {
  // All parts of a row of the rail are of one element.
  const part = direct.find(({ shape }) => shape === 'bubble') ?? direct[0];
  if (!part || part.rail !== line.track) return [];
  const element = line.rail[part.element]!;
  const along = part.at ?? element.length;
  const shapes = new Float64Array(4);
  let value = deflectionWithin(element, along, displacement, shapes);
  for (const { shape, factor } of direct)
    value += factor * (shape === 'bubble' ? withinSimpleSpan(element.length, along, along) : shapes[shape]!);
  return [{ at: placeOf(element.x + along, line), before: value, beyond: value, kink: 0, peak: true }];
}

/** A place on the line, in samples. */
function placeOf(x: number, { from, step }: LoadedLine): number {
  const position = (x - from) / step;
  const nearest = Math.round(position);
  return Math.abs(position - nearest) < 1e-6 ? nearest : position;
}
