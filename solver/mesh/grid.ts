import { characteristicLengthOfTrack } from '../viaduct/characteristic-length.js';
import type { Span, Track, Viaduct } from '../viaduct/model.js';
import { seatsOfSpan } from '../viaduct/seats.js';

/**
 * Where the nodes stand along x: at every support, seat, panel joint and change of section, never further apart than
 * a sixteenth of the shortest deck wave of interest nor than a twentieth of the span, on decks without a track a sixtieth or less.
 */
export interface Grid {
  /** Ascending; includes the approaches of the track. */
  readonly x: Float64Array;
  /** Index in x of each support. */
  readonly supports: Int32Array;
  /** Index in x of each rail seat, ascending; empty without track. */
  readonly seats: Int32Array;
  /** Length of track each seat stands for; scales the fastening so that its stiffness per metre is kept. */
  readonly seatSpacing: Float64Array;
  /** Index in x of each free joint between slab panels. */
  readonly panelJoints: Int32Array;
  /** Length of track on the ground at either end. */
  readonly approach: number;
  /** Of each span: parts between the places that are looked at. */
  readonly stationParts: readonly number[];
}

export interface MeshOptions {
  /** In Hz, sets the shortest wave that the elements must follow; 0 makes one element per segment, exact for nodal statics. */
  readonly highestFrequency: number;
  /** Divides every element; 1, the ordinary mesh, unless given. */
  readonly refinement?: number;
  /** Elements per span at least; as many as wheels on the deck need unless given. */
  readonly parts?: number;
}

export function buildGrid(viaduct: Viaduct, { highestFrequency, refinement = 1, parts }: MeshOptions): Grid {
  const coarse = highestFrequency === 0;
  const points = new PointList();
  const supports: number[] = [0];
  const length = viaduct.spans.reduce((sum, span) => sum + spanLength(span), 0);
  const approach = viaduct.track ? approachLength(viaduct.track, length) : 0;
  let start = 0;
  if (viaduct.track) addApproach(points, viaduct.track, 0, approach, -1, refinement);
  for (const span of viaduct.spans) {
    const length = spanLength(span);
    const longest = coarse
      ? length
      : Math.min(
          longestElement(span, parts ?? (viaduct.track ? ordinaryParts : null)),
          shortestWave(span, highestFrequency) / 16,
        ) / refinement;
    if (viaduct.track) addBays(points, start, length, longest, viaduct.track);
    else addSegments(points, start, span, longest);
    start += length;
    supports.push(start);
  }
  if (viaduct.track) addApproach(points, viaduct.track, start, approach, 1, refinement);
  points.addAll(supports);
  viaduct.spans.forEach(({ segments }, span) => {
    let change = supports[span]!;
    for (const { length } of segments.slice(0, -1)) {
      change += length;
      points.insertUnlessClose(change);
    }
  });
  const x = points.sorted();
  const indexOf = (position: number) => nearestIndex(x, position);
  const seats = [...points.seats].sort(byPosition);
  const seatIndices = new Int32Array(seats.length);
  const seatSpacing = new Float64Array(seats.length);
  for (let seat = 0; seat < seats.length; seat++) {
    const [position, spacing] = seats[seat]!;
    seatIndices[seat] = nearestIndex(x, position);
    seatSpacing[seat] = spacing;
  }
  return {
    x,
    supports: Int32Array.from(supports, indexOf),
    seats: seatIndices,
    seatSpacing,
    panelJoints: Int32Array.from(
      [...points.panelJoints].sort((a, b) => a - b),
      indexOf,
    ),
    approach,
    stationParts: viaduct.spans.map((span) => stationParts(span, viaduct.track !== null, highestFrequency)),
  };
}

const byPosition = (a: readonly [number, number], b: readonly [number, number]): number => a[0] - b[0];

/**
 * What a twentieth misses is 0.3 % on a deck that track spreads the wheels over, and a thirtieth on one that they run on. Torsion may swing in shorter
 * waves: eleven to a span below 55 Hz is nothing unusual. An eighth of each then, up to the frequency that the third bending mode of a
 * simple span may ask for; never more than 80, where 0.1 % is left of those.
 */
function stationParts(span: Span, hasTrack: boolean, highestFrequency: number): number {
  const ordinary = hasTrack ? 20 : 30;
  const length = spanLength(span);
  const waves = span.segments.map(({ flexuralRigidity, massPerLength, torsion }) => {
    if (!torsion) return 0;
    const third = (9 * Math.PI * Math.sqrt(flexuralRigidity / massPerLength)) / (2 * length * length);
    const speed = Math.sqrt(torsion.rigidity / torsion.rotaryInertia);
    return (2 * length * Math.max(highestFrequency, third)) / speed;
  });
  return Math.max(ordinary, Math.min(80, Math.ceil(8 * Math.max(...waves))));
}

export function spanLength(span: Span): number {
  return span.segments.reduce((sum, segment) => sum + segment.length, 0);
}

/** Index of the value nearest to `position` in ascending `x`. */
export function nearestIndex(x: Float64Array, position: number): number {
  let low = 0;
  let high = x.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (x[middle]! <= position) low = middle;
    else high = middle;
  }
  return position - x[low]! <= x[high]! - position ? low : high;
}

class PointList {
  readonly points: number[] = [];
  readonly seats: [position: number, spacing: number][] = [];
  readonly panelJoints: number[] = [];

  addAll(positions: readonly number[]): void {
    this.points.push(...positions);
  }

  addSeat(position: number, spacing: number): void {
    this.points.push(position);
    this.seats.push([position, spacing]);
  }

  /** A node close to another would spoil the conditioning; the other then stands for it, by less than a tenth of an element. */
  insertUnlessClose(position: number): void {
    const x = this.sorted();
    const nearest = nearestIndex(x, position);
    const gapBelow = nearest > 0 ? x[nearest]! - x[nearest - 1]! : Number.POSITIVE_INFINITY;
    const gapAbove = nearest + 1 < x.length ? x[nearest + 1]! - x[nearest]! : Number.POSITIVE_INFINITY;
    if (Math.abs(x[nearest]! - position) > 0.1 * Math.min(gapBelow, gapAbove)) this.points.push(position);
  }

  sorted(): Float64Array {
    const x = Float64Array.from(this.points).sort();
    let kept = 0;
    let before = Number.NEGATIVE_INFINITY;
    for (let index = 0; index < x.length; index++) {
      const value = x[index]!;
      if (value - before > 1e-6) x[kept++] = value;
      before = value;
    }
    return x.slice(0, kept);
  }
}

/** Elements per span at least, where no wheel runs on them. */
export const ordinaryParts = 20;
/** As many as moments are looked at. */
const partsOfBare = 60;
/**
 * Wheels on the deck itself feel the kinks that its elements have at their nodes: with 20, up to 15 % of accelerations at 160 km/h. In short
 * spans 0.075 m will do, which a train at 20 m/s passes 267 times a second.
 */
const partsOfKinked = 320;
const shortestOfKinked = 0.075;

/**
 * m, by what is asked of the elements of a span.
 *
 * @param parts of the span at least; null: as many as wheels on the deck need
 */
export function longestElement(span: Span, parts: number | null): number {
  const length = spanLength(span);
  const ordinary = length / (parts ?? partsOfBare);
  if (parts !== null || !isKinked(span)) return ordinary;
  return Math.max(length / partsOfKinked, Math.min(shortestOfKinked, ordinary));
}

/** Shear angle and twist rate are constant within an element, so that the line under wheels on the deck has kinks at the nodes. */
function isKinked({ segments }: Span): boolean {
  return segments.some(({ shearRigidity, torsion }) => shearRigidity !== null || torsion !== undefined);
}

/** Half wave of a uniform beam at a frequency, doubled: 2 pi (EI / (m w^2))^(1/4). */
function shortestWave(span: Span, frequency: number): number {
  const omega = 2 * Math.PI * frequency;
  let shortest = Number.POSITIVE_INFINITY;
  for (const { flexuralRigidity, massPerLength } of span.segments) {
    if (flexuralRigidity <= 0) continue;
    shortest = Math.min(shortest, 2 * Math.PI * (flexuralRigidity / (massPerLength * omega * omega)) ** 0.25);
  }
  return shortest;
}

function addSegments(points: PointList, start: number, span: Span, longest: number): void {
  let x = start;
  for (const segment of span.segments) {
    // An even number puts a node at midspan.
    const count = longest >= segment.length ? 1 : 2 * Math.ceil(segment.length / longest / 2 - 1e-9);
    for (let i = 0; i <= count; i++) points.points.push(x + (segment.length * i) / count);
    x += segment.length;
  }
}

function addBays(points: PointList, start: number, length: number, longest: number, track: Track): void {
  const panelLength = track.slab?.panelLength ?? null;
  const {
    panels,
    count: seatCount,
    spacing,
  } = seatsOfSpan(length, { spacing: track.fastening.spacing, panelLength });
  const halves = spacing <= longest ? 0 : Math.ceil(spacing / (2 * longest) - 1e-9);
  for (let seat = 0; seat < seatCount; seat++) {
    const position = start + (seat + 0.5) * spacing;
    points.addSeat(position, spacing);
    for (let part = 1; part <= halves; part++) {
      points.points.push(
        position + (0.5 * spacing * part) / halves,
        position - (0.5 * spacing * part) / halves,
      );
    }
  }
  if (panelLength === null) return;
  for (let panel = 0; panel <= panels; panel++) {
    const position = start + (length * panel) / panels;
    points.points.push(position);
    if (!points.panelJoints.some((joint) => Math.abs(joint - position) < 1e-6))
      points.panelJoints.push(position);
  }
}

/**
 * Ten characteristic lengths (4 EI / k)^(1/4) of the stiffer layer on its bedding: what happens beyond is damped by e^-10
 * before it reaches the deck (Winkler beam, any text on beams on elastic foundation). Where bedding or fastenings are lost beyond the ends of
 * the deck, that stretch and as much beyond it stand on the inner half, where wheels press with all of their weight.
 */
function approachLength(track: Track, deckLength: number): number {
  const wide = 10 * characteristicLengthOfTrack(track);
  const lost = lostBeyondDeck(track, deckLength);
  const beyond = lost > 0 ? 2 * (lost + wide) : 0;
  const seats = Math.ceil(Math.max(wide, beyond) / track.fastening.spacing);
  return seats * track.fastening.spacing;
}

/** m: how far beyond the ends of the deck bedding or fastenings are lost. */
export function lostBeyondDeck({ losses }: Track, deckLength: number): number {
  return losses.reduce((most, { from, to }) => Math.max(most, -from, to - deckLength), 0);
}

function addApproach(
  points: PointList,
  track: Track,
  near: number,
  length: number,
  direction: 1 | -1,
  refinement: number,
): void {
  const spacing = track.fastening.spacing;
  const count = Math.round(length / spacing);
  for (let seat = 0; seat < count; seat++) {
    const position = near + direction * (seat + 0.5) * spacing;
    points.addSeat(position, spacing);
    for (let part = 1; part < refinement; part++)
      points.points.push(position + (direction * spacing * part) / refinement);
  }
  points.points.push(near + direction * length);
}
