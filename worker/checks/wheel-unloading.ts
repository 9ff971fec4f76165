import { against, type SafetyCheck } from './check.js';

/** Share of its static load that a wheelset loses, not filtered: the smallest contact force of the passage decides. */
export const wheelUnloading: SafetyCheck = {
  id: 'wheel-unloading',
  unit: '-',
  objectives: () => [],
  judge({ limit, ride, speedKmh }) {
    if (!limit || !ride) return null;
    const { value, at, where } = ride.wheelUnloading;
    return against(limit, speedKmh, value, at, where);
  },
};
