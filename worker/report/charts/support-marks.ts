import { type Markup, markup } from '../markup.js';
import type { SupportLine } from '../scenario-facts.js';
import { coordinate, type Frame, ink, textWidth } from './chart-frame.js';

/** The supports of a deck as a chart draws them. */
export interface SupportMarks {
  readonly supports: readonly SupportLine[];
  /** Ids of supports that carry nothing any more in the case drawn: crossed and dashed. */
  readonly lost: ReadonlySet<string>;
}

/**
 * Supports at their place along the deck, ids at `labelBaseline`: a triangle under the line `baseline`, a double bar where the deck is cut at an
 * expansion joint, an open dashed triangle with a cross where the support is lost. Where names would
 * collide, those of lost supports stand first, then those of the ends.
 */
export function supportMarks(
  marks: SupportMarks,
  frame: Frame,
  x: (value: number) => number,
  baseline: number,
  labelBaseline: number,
): Markup {
  const named = withRoom(marks, x);
  const shapes = marks.supports.map((support) => {
    const at = x(support.xM);
    const lost = marks.lost.has(support.id);
    const corners = `${coordinate(at)},${coordinate(baseline)} ${coordinate(at - 6)},${coordinate(baseline + 10)} ${coordinate(at + 6)},${coordinate(baseline + 10)}`;
    const triangle = lost
      ? markup`<polygon points="${corners}" fill="${ink.paper}" stroke="${ink.limit}" stroke-dasharray="2 2"/><path d="M${coordinate(at - 7)},${coordinate(baseline + 1)}l14,11m0,-11l-14,11" stroke="${ink.limit}" stroke-width="1.8"/>`
      : markup`<polygon points="${corners}" fill="${ink.quiet}"/>`;
    const joint = support.joint
      ? markup`<path d="M${coordinate(at - 1.8)},${coordinate(baseline - 7)}v14m3.6,0v-14" stroke="${ink.text}" stroke-width="1.2"/>`
      : null;
    const label = !named.has(support.id)
      ? null
      : markup`<text x="${coordinate(at)}" y="${coordinate(labelBaseline)}" text-anchor="middle" font-size="11" fill="${lost ? ink.limit : ink.quiet}" font-weight="${lost ? 700 : 400}">${shortened(support.id)}</text>`;
    return markup`<line x1="${coordinate(at)}" x2="${coordinate(at)}" y1="${frame.top}" y2="${frame.bottom}" stroke="${ink.grid}"/>${triangle}${joint}${label}`;
  });
  return markup`${shapes}`;
}

/** Ids of the supports whose names have room beside those that matter more. */
function withRoom({ supports, lost }: SupportMarks, x: (value: number) => number): ReadonlySet<string> {
  const gone = supports.filter(({ id }) => lost.has(id));
  const placed: { readonly at: number; readonly half: number }[] = [];
  const named = new Set<string>();
  for (const { id, xM } of [...gone, ...supports.slice(0, 1), ...supports.slice(-1), ...supports]) {
    const place = { at: x(xM), half: textWidth(shortened(id), 11) / 2 + 3 };
    if (named.has(id) || placed.some(({ at, half }) => Math.abs(at - place.at) < half + place.half)) continue;
    placed.push(place);
    named.add(id);
  }
  return named;
}

function shortened(id: string): string {
  return id.length > 8 ? `${id.slice(0, 7)}…` : id;
}
