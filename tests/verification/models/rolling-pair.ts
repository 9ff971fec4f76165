import type { SprungMass } from '../../../solver/vehicle/vehicle-parameters.js';
import { type RollingMotion, rollOver } from '../independent/newmark-wheels.js';
import type { DenseTrack } from '../independent/track-over-span.js';

/** A mass of 11 t on a wheelset of 1.5 t, and another behind it. */
export const sprungMass: SprungMass = {
  kind: 'sprung-mass',
  length: 2.5,
  mass: 11e3,
  stiffness: 1.6e6,
  damping: 25e3,
  wheelsetMass: 1500,
  contactStiffness: 2.8e9,
  passengers: true,
};

/**
 * Largest unloading of both wheelsets and acceleration of both masses, m/s2, from when the leading one comes onto the span, by direct integration. They
 * start a bay behind the end of the rail: what is left of a start from rest under wheels that run at once has died away before the span.
 *
 * @param apart m between them
 * @param bay m between seats
 */
export function integratePair(
  { system, dashpots, start, shapesAt }: DenseTrack,
  apart: number,
  bay: number,
  motion: Omit<RollingMotion, 'from'>,
): { readonly unloading: readonly number[]; readonly acceleration: readonly number[] } {
  const weight = (sprungMass.mass + sprungMass.wheelsetMass) * 9.81;
  const unloading = [0, 0];
  const acceleration = [0, 0];
  const vehicles = [0, apart].map((behind) => ({ ...sprungMass, behind }));
  const from = start + apart + bay;
  rollOver(system, dashpots, vehicles, { ...motion, from }, shapesAt, (head, forces, accelerations) => {
    if (head < 0) return;
    forces.forEach((force, k) => {
      unloading[k] = Math.max(unloading[k]!, 1 - force / weight);
      acceleration[k] = Math.max(acceleration[k]!, Math.abs(accelerations[k]!));
    });
  });
  return { unloading, acceleration };
}
