import { against, type SafetyCheck } from './check.js';

/** Largest vertical acceleration over bogies and in the middle of a car with passengers, not filtered. EN 1990 A2.4.4.3 (mem). */
export const bodyAcceleration: SafetyCheck = {
  id: 'body-acceleration',
  unit: 'm/s2',
  objectives: () => [],
  judge({ limit, ride, speedKmh }) {
    if (!limit || !ride?.comfort) return null;
    const { value, at, where } = ride.comfort.bodyAcceleration;
    return against(limit, speedKmh, value, at, where);
  },
};
