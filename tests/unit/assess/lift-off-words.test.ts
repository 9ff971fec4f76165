import { expect, it } from 'vitest';
import { releaseLiftedBearings } from '../../../solver/statics/lift-off.js';
import { describeLiftOff } from '../../../worker/assess/wording.js';
import { uniformSpans, viaductOf } from '../../verification/models/viaducts.js';

const overhanging = viaductOf(uniformSpans([8, 40]));

it('the operator is told which support the deck lifts off, and when what follows is not known', () => {
  expect(describeLiftOff(releaseLiftedBearings(overhanging))).toBe(
    'Dead load alone lifts the deck off support S0',
  );
  expect(describeLiftOff(releaseLiftedBearings(overhanging, 1))).toBe(
    'Dead load alone lifts the deck off support S0, and what it would come to rest on could not be settled',
  );
  expect(describeLiftOff(releaseLiftedBearings(overhanging, 0))).toContain('off its bearings, and');
});

it.each([
  [['A2'], 'lifts the deck off support A2, and without it the deck cannot stand'],
  [['A1', 'A2'], 'lifts the deck off support A1 and support A2, and without them the deck cannot stand'],
])('what the deck falls without is one support or several: %j', (supports, words) => {
  const mechanism = { spans: [0], turns: false, lostSupports: [], loosePanels: [] };
  const lifted = supports.map((support) => ({ support, end: 'only' as const, side: 'only' as const }));
  expect(describeLiftOff({ lifted, mechanism, state: null })).toContain(words);
});
