/** Acceleration of free fall, m/s2; the one value of loads, weights and slips of units. */
export const gravity = 9.81;
