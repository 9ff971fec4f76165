import { against, type SafetyCheck } from './check.js';

/**
 * The new vertical alignment under dead load as an isolated defect of longitudinal level: it caps the speed by the speed
 * classes of its limit. Only a damaged deck has moved, and only a damaged track sinks.
 */
export const trackGeometry: SafetyCheck = {
  id: 'track-geometry',
  unit: 'mm',
  objectives: () => [],
  judge(input) {
    const { change } = input.state;
    if (!input.limit || !change || input.state.damageCase.effects.length === 0) return null;
    return against(input.limit, input.speedKmh, 1e3 * change.levelDefect, change.levelDefectAt, 'track');
  },
};
