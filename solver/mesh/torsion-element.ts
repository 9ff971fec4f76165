import type { TorsionElement } from './mesh.js';

/** 2 x 2 stiffness of a shaft between the twists of its ends, row by row: GJ / l. */
export function torsionStiffness({
  rigidity,
  length,
}: Pick<TorsionElement, 'rigidity' | 'length'>): Float64Array {
  const k = rigidity / length;
  return Float64Array.of(k, -k, -k, k);
}

/**
 * 2 x 2 rotary inertia, the mean of consistent and lumped: between ends that are held or free frequencies then converge as h^4 instead of
 * h^2, which stays at an end on a spring. T. J. R. Hughes, The Finite
 * Element Method (1987), section 7.3 (mem).
 */
export function torsionInertia({
  rotaryInertia,
  length,
}: Pick<TorsionElement, 'rotaryInertia' | 'length'>): Float64Array {
  const m = (rotaryInertia * length) / 12;
  return Float64Array.of(5 * m, m, m, 5 * m);
}
