import { against, type SafetyCheck } from './check.js';

/** Vertical acceleration weighted by Wk, root mean square over the worst 5 s, at the worst place of the train. ISO 2631-1:1997 (mem). */
export const rideComfort: SafetyCheck = {
  id: 'ride-comfort',
  unit: 'm/s2',
  objectives: () => [],
  judge({ limit, ride, speedKmh }) {
    if (!limit || !ride?.comfort) return null;
    const { value, at, where } = ride.comfort.weighted;
    return against(limit, speedKmh, value, at, where);
  },
};
