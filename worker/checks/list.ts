import { bearingUplift } from './bearing-uplift.js';
import { bending } from './bending.js';
import { bodyAcceleration } from './body-acceleration.js';
import type { SafetyCheck } from './check.js';
import { deckAcceleration } from './deck-acceleration.js';
import { deckDeflection } from './deck-deflection.js';
import { deckTwist } from './deck-twist.js';
import { endRotation } from './end-rotation.js';
import { fasteningUplift } from './fastening-uplift.js';
import { jointStep } from './joint-step.js';
import { rideComfort } from './ride-comfort.js';
import { shear } from './shear.js';
import { supportReaction } from './support-reaction.js';
import { railBending, slabBending } from './track-bending.js';
import { trackGeometry } from './track-geometry.js';
import { wheelUnloading } from './wheel-unloading.js';

/** Every check of a moving train, in the order in which a report lists them. A new check is one file and one line here. */
export const checks: readonly SafetyCheck[] = [
  bending,
  shear,
  supportReaction,
  bearingUplift,
  slabBending,
  railBending,
  trackGeometry,
  jointStep,
  deckAcceleration,
  deckDeflection,
  deckTwist,
  endRotation,
  fasteningUplift,
  wheelUnloading,
  bodyAcceleration,
  rideComfort,
];
