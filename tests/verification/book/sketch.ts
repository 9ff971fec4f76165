import { coordinate, ink, picture } from '../../../worker/report/charts/chart-frame.js';
import { type Markup, markup, nothing } from '../../../worker/report/markup.js';

/** What a sketch shows. Lengths only set proportions. */
export interface BeamSketch {
  readonly id: string;
  readonly description: string;
  readonly spans: readonly number[];
  /** One more than spans: triangle, spring, joint (two triangles under a gap), or nothing where a support was lost. */
  readonly supports: readonly ('rigid' | 'spring' | 'joint' | 'lost')[];
  readonly load: 'none' | 'uniform' | 'moving force' | 'train';
  readonly track?: 'rail' | 'slab';
}

const width = 640;
const height = 150;
const margin = 50;
const level = 82;

/** Beam, supports and load, not to scale in the vertical. */
export function beamSketch(sketch: BeamSketch): Markup {
  const total = sketch.spans.reduce((sum, length) => sum + length, 0);
  const at: number[] = [margin];
  for (const length of sketch.spans) at.push(at[at.length - 1]! + ((width - 2 * margin) * length) / total);
  const frame = { width, height, left: margin, right: width - margin, top: 0, bottom: height };
  return picture(
    { id: `sketch-${sketch.id}`, title: 'Sketch of the structure', description: sketch.description },
    frame,
    sketch.spans.map((_, span) => deck(sketch, at, span)),
    sketch.track ? layers(sketch.track) : nothing,
    sketch.supports.map((kind, index) => support(kind, at[index]!)),
    load(sketch),
  );
}

function deck(sketch: BeamSketch, at: readonly number[], span: number): Markup {
  const from = at[span]! + (sketch.supports[span] === 'joint' ? 4 : 0);
  const to = at[span + 1]! - (sketch.supports[span + 1] === 'joint' ? 4 : 0);
  return markup`<line x1="${coordinate(from)}" y1="${level}" x2="${coordinate(to)}" y2="${level}" stroke="${ink.text}" stroke-width="5"/>`;
}

function layers(track: 'rail' | 'slab'): Markup {
  const ties: Markup[] = [];
  for (let x = 26; x < width - 20; x += 18) {
    ties.push(
      markup`<line x1="${x}" y1="${level - 22}" x2="${x}" y2="${level - 3}" stroke="${ink.quiet}" stroke-width="1" stroke-dasharray="2 2"/>`,
    );
  }
  const slab =
    track === 'slab'
      ? markup`<line x1="14" y1="${level - 12}" x2="${width - 14}" y2="${level - 12}" stroke="${ink.reference}" stroke-width="4"/>`
      : nothing;
  return markup`${ties}${slab}<line x1="14" y1="${level - 23}" x2="${width - 14}" y2="${level - 23}" stroke="${ink.primary}" stroke-width="2"/>`;
}

function support(kind: BeamSketch['supports'][number], x: number): Markup {
  const top = level + 3;
  const ground = markup`<line x1="${coordinate(x - 14)}" y1="${top + 30}" x2="${coordinate(x + 14)}" y2="${top + 30}" stroke="${ink.text}" stroke-width="2"/>`;
  if (kind === 'lost')
    return markup`<path d="M${coordinate(x - 8)} ${top + 6}l16 16m0 -16l-16 16" stroke="${ink.limit}" stroke-width="2.5"/>`;
  if (kind === 'spring') {
    const zigzag = `M${coordinate(x)} ${top}v4l7 3l-14 5l14 5l-14 5l7 3v5`;
    return markup`<path d="${zigzag}" fill="none" stroke="${ink.text}" stroke-width="1.6"/>${ground}`;
  }
  const triangle = (apex: number, half: number) =>
    markup`<path d="M${coordinate(apex)} ${top}l${half} 22h${-2 * half}z" fill="none" stroke="${ink.text}" stroke-width="1.6"/>`;
  if (kind === 'joint') return markup`${triangle(x - 6, 6)}${triangle(x + 6, 6)}${ground}`;
  return markup`${triangle(x, 10)}${ground}`;
}

function load(sketch: BeamSketch): Markup {
  const surface = sketch.track ? level - 25 : level - 4;
  const arrow = (x: number) =>
    markup`<path d="M${x} ${surface - 34}V${surface}m-4 -8l4 8l4 -8" fill="none" stroke="${ink.secondary}" stroke-width="2"/>`;
  const motion = (x: number) =>
    markup`<path d="M${x} ${surface - 28}h34m-7 -4l7 4l-7 4" fill="none" stroke="${ink.secondary}" stroke-width="1.4"/>`;
  if (sketch.load === 'none') return nothing;
  if (sketch.load === 'moving force') return markup`${arrow(150)}${motion(160)}`;
  if (sketch.load === 'train') return markup`${[70, 92, 170, 192, 270, 292].map(arrow)}${motion(304)}`;
  const arrows: Markup[] = [];
  for (let x = margin; x <= width - margin; x += 30) arrows.push(arrow(x));
  return markup`${arrows}<line x1="${margin}" y1="${surface - 34}" x2="${width - margin}" y2="${surface - 34}" stroke="${ink.secondary}" stroke-width="1.4"/>`;
}
