import { type Markup, type MarkupValue, markup } from '../markup.js';

/** Where a chart is drawn: outer size and the plot's edges, in user units of the picture. */
export interface Frame {
  readonly width: number;
  readonly height: number;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** What a reader who cannot see a picture is told, and the prefix that keeps its ids apart on a page. */
export interface PictureText {
  /** Prefix of every id in the picture: letters, digits and hyphens. */
  readonly id: string;
  readonly title: string;
  readonly description: string;
}

/** The palette. Series differ in dash and weight too, so none of it has to be told apart by hue. */
export const ink = {
  text: '#1d2733',
  quiet: '#5b6875',
  grid: '#e3e7eb',
  axis: '#8b96a1',
  primary: '#14507e',
  secondary: '#a8570b',
  reference: '#7d8894',
  limit: '#9b1c31',
  paper: '#ffffff',
} as const;

/** Font, size and ink of a picture's words, as attributes of its element. */
export const fontOfPictures = markup`font-family="system-ui, -apple-system, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, sans-serif" font-size="13" fill="${ink.text}"`;

/** An SVG element of its own viewBox with title and description; it scales with the width it is given. */
export function picture(text: PictureText, frame: Frame, ...content: readonly MarkupValue[]): Markup {
  return markup`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${frame.width} ${frame.height}" style="max-width:${Math.round(1.25 * frame.width)}px" role="img" aria-labelledby="${text.id}-title ${text.id}-desc" ${fontOfPictures}><title id="${text.id}-title">${text.title}</title><desc id="${text.id}-desc">${text.description}</desc>${content}</svg>`;
}

/** A number as a coordinate: one decimal is a tenth of a pixel, and the same input gives the same text. */
export function coordinate(value: number): string {
  const rounded = Math.round(value * 10) / 10;
  return String(rounded === 0 ? 0 : rounded);
}

/** Diagonal hatch, the cue for "not allowed" that survives print in grey. Fill with `url(#<id>)`. */
export function hatch(id: string, colour: string, spacing = 7, angle = 45): Markup {
  return markup`<pattern id="${id}" width="${spacing}" height="${spacing}" patternUnits="userSpaceOnUse" patternTransform="rotate(${angle})"><line x1="0" y1="0" x2="0" y2="${spacing}" stroke="${colour}" stroke-width="1.6"/></pattern>`;
}

/** A rough width of text at 13 units, wide enough for every system font. */
export function textWidth(text: string, size = 13): number {
  return text.length * size * 0.58;
}
