import { type Markup, type MarkupValue, markup } from '../markup.js';

/** A wide table or picture in a box that scrolls by itself, by touch and by keyboard, so that the page never does. */
export function scrollBox(label: string, content: MarkupValue): Markup {
  return markup`<div class="scroll" tabindex="0" role="region" aria-label="${label}">${content}</div>`;
}
