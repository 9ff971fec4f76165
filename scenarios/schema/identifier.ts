import { z } from 'zod';

/** What names of supports, trains, classes and damage cases look like; also the wording of faults. */
export const identifierText =
  'a name of 1 to 60 letters, digits, spaces and . _ + / ( ) -, starting with a letter or digit and not ending in a space';

const pattern = /^[\p{L}\p{N}](?:[\p{L}\p{N} ._+/()-]{0,58}[\p{L}\p{N}._+/()-])?$/u;

/** Name of a support, train, class or damage case: printable in a table, a file name part and an address. */
export const identifier = z.string().regex(pattern);

/** Free text shown in the report. */
export const freeText = z.string().max(2000);
