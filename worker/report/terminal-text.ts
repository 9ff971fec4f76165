import { styleText } from 'node:util';
import type { Status } from '../../scenarios/result.js';
import { printable } from './markup.js';

/** Text for one line of a terminal: no control characters, so that a title can neither move the cursor nor set colours. */
export function terminalText(text: string): string {
  return printable(text).replace(/\s+/g, ' ').trim();
}

/** The text in the colour of a status; unchanged without colour. The word itself must already say the status. */
export function statusColour(status: Status, text: string, colour: boolean): string {
  if (!colour) return text;
  return styleText([...statusStyles[status]], text, { validateStream: false });
}

const statusStyles = {
  'line-speed': ['bold', 'blue'],
  restricted: ['bold', 'yellow'],
  closed: ['bold', 'inverse', 'red'],
  undetermined: ['bold', 'magenta'],
} as const satisfies Record<Status, readonly unknown[]>;

/** Lines parted by horizontal rules only: reads well, copies well. For cli-table3. */
export const plainRules = {
  top: '─',
  'top-mid': '─',
  'top-left': '',
  'top-right': '',
  bottom: '─',
  'bottom-mid': '─',
  'bottom-left': '',
  'bottom-right': '',
  left: '',
  'left-mid': '',
  mid: '─',
  'mid-mid': '─',
  right: '',
  'right-mid': '',
  middle: ' ',
} as const;
