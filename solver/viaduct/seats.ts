/** How rail seats are placed: as near to `spacing` as whole seats allow, per span and slab panel. */
export interface SeatLayout {
  readonly spacing: number;
  /** Null: a continuous slab, or none. */
  readonly panelLength: number | null;
}

/** Seats of one span at equal distances, the outer ones half of it from either support, so that a joint lies midway between two of them. */
export interface SpanSeats {
  /** Slab panels on the span. */
  readonly panels: number;
  readonly count: number;
  readonly spacing: number;
}

export function seatsOfSpan(length: number, { spacing, panelLength }: SeatLayout): SpanSeats {
  const panels = panelLength === null ? 1 : Math.max(1, Math.round(length / panelLength));
  const perPanel =
    panelLength === null ? nearestOdd(length / spacing) : Math.max(1, Math.round(length / panels / spacing));
  const count = panels * perPanel;
  return { panels, count, spacing: length / count };
}

/** An odd number of seats puts one at midspan. */
function nearestOdd(count: number): number {
  return Math.max(1, 2 * Math.round((count - 1) / 2) + 1);
}

/** The last seat at or before a place and the first at or behind it, m, on the deck or on the track that runs on over its ends. */
export function seatsBeside(
  spanLengths: readonly number[],
  layout: SeatLayout,
  x: number,
): { readonly before: number; readonly behind: number } {
  let before = Number.NEGATIVE_INFINITY;
  let behind = Number.POSITIVE_INFINITY;
  const lookAt = (start: number, spacing: number, first: number, last: number) => {
    const place = (x - start) / spacing - 0.5;
    const below = Math.min(last, Math.floor(place));
    const above = Math.max(first, Math.ceil(place));
    if (below >= first) before = Math.max(before, start + (below + 0.5) * spacing);
    if (above <= last) behind = Math.min(behind, start + (above + 0.5) * spacing);
  };
  lookAt(0, layout.spacing, Number.NEGATIVE_INFINITY, -1);
  let start = 0;
  for (const length of spanLengths) {
    const { count, spacing } = seatsOfSpan(length, layout);
    lookAt(start, spacing, 0, count - 1);
    start += length;
  }
  lookAt(start, layout.spacing, 0, Number.POSITIVE_INFINITY);
  return { before, behind };
}
