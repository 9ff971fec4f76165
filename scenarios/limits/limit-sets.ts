import type { LimitSetFile } from '../schema/limits.js';
import { en1990A2 } from './en-1990-a2.js';
import { en1990A2Ballasted } from './en-1990-a2-ballasted.js';
import type { LimitSetName } from './limit-set-names.js';

/** The built-in limit sets by name, in the form a user's own set has. */
export const limitSets: Readonly<Record<LimitSetName, LimitSetFile>> = {
  'en-1990-a2': en1990A2,
  'en-1990-a2-ballasted': en1990A2Ballasted,
};
