import type { Status } from '../../../scenarios/result.js';
import { type Markup, markup } from '../markup.js';
import { ink } from './chart-frame.js';

/** Fill, edge and text of a status. They differ in lightness as well as in hue. */
export const statusInk: Readonly<Record<Status, { fill: string; edge: string }>> = {
  'line-speed': { fill: '#e4f0fa', edge: '#14507e' },
  restricted: { fill: '#fbe6c4', edge: '#8a4b00' },
  closed: { fill: '#7d1128', edge: '#4d0617' },
  undetermined: { fill: '#f0eef5', edge: '#4c3f72' },
};

/**
 * The status symbol about (0, 0), 18 units wide: each status has its own outline (circle with a tick, triangle pointing
 * down, filled square with a cross, dashed diamond with a question mark), so that it needs no colour.
 */
export function statusSymbol(status: Status): Markup {
  const { edge } = statusInk[status];
  switch (status) {
    case 'line-speed':
      return markup`<circle r="8" fill="${ink.paper}" stroke="${edge}" stroke-width="2"/><path d="M-3.8,0.2l2.8,3l4.8,-6" fill="none" stroke="${edge}" stroke-width="2.2"/>`;
    case 'restricted':
      return markup`<path d="M-9,-7h18l-9,16z" fill="${ink.paper}" stroke="${edge}" stroke-width="2" stroke-linejoin="round"/><path d="M0,-4v5" stroke="${edge}" stroke-width="2.2"/><circle cy="3.6" r="1.3" fill="${edge}"/>`;
    case 'closed':
      return markup`<rect x="-8" y="-8" width="16" height="16" fill="${edge}" stroke="${ink.paper}" stroke-width="1"/><path d="M-4,-4l8,8m0,-8l-8,8" stroke="${ink.paper}" stroke-width="2.4"/>`;
    case 'undetermined':
      return markup`<path d="M0,-9.5l9.5,9.5l-9.5,9.5l-9.5,-9.5z" fill="${ink.paper}" stroke="${edge}" stroke-width="1.8" stroke-dasharray="3 2"/><text y="4.4" text-anchor="middle" font-size="12.5" font-weight="700" fill="${edge}">?</text>`;
  }
}

/** The symbol as a small picture of its own for running text; the word beside it carries the meaning. */
export function statusIcon(status: Status): Markup {
  return markup`<svg class="icon" viewBox="-11 -11 22 22" width="20" height="20" aria-hidden="true" focusable="false">${statusSymbol(status)}</svg>`;
}
