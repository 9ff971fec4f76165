import type { Status } from '../../../scenarios/result.js';
import { statusIcon } from '../charts/status-mark.js';
import { type Markup, markup } from '../markup.js';
import { statusWording } from '../wording.js';

/** A status by symbol and word. */
export function statusBadge(status: Status): Markup {
  return markup`<span class="status status-${status}">${statusIcon(status)} ${statusWording[status].word}</span>`;
}
