import type { Status } from '../../../scenarios/result.js';
import { statusIcon } from '../charts/status-mark.js';
import { type Markup, markup } from '../markup.js';
import { statusWording } from '../wording.js';

/** A status by symbol and word, and beside it what it leaves open. */
export function statusBadge(status: Status, reservation: string | null): Markup {
  const { word } = statusWording[status];
  const said =
    reservation === null
      ? word
      : markup`<span class="reserved"><span class="whole">${word},</span> ${reservation}</span>`;
  return markup`<span class="status status-${status}">${statusIcon(status)} ${said}</span>`;
}
