import { against, type SafetyCheck, trackPlace } from './check.js';

/**
 * The new vertical alignment as an isolated defect of longitudinal level: it caps the speed by the speed classes of its limit. The deck
 * counts as dead load has left it, the track upon it as it lies under the wheels (EN 13848-1 measures the loaded track (mem)). Only a
 * damaged deck has moved, and only a damaged track sinks.
 */
export const trackGeometry: SafetyCheck = {
  id: 'track-geometry',
  unit: 'mm',
  objectives: () => [],
  judge(input) {
    const { level } = input;
    if (!input.limit || !level) return null;
    return against(
      input.limit,
      input.speedKmh,
      1e3 * level.departure,
      level.at,
      trackPlace('track', level.at, input),
    );
  },
};
