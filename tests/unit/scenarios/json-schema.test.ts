import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { scenarioSchema } from '../../../scenarios/scenario.js';

describe('the scenario schema', () => {
  it('can be published as JSON Schema with the contract’s keys and closed objects', () => {
    const published = z.toJSONSchema(scenarioSchema, { io: 'input' });
    expect(published.required).toEqual(['format', 'line', 'deck', 'supports', 'trains']);
    expect(published.additionalProperties).toBe(false);
    expect(published.properties?.damage_cases).toMatchObject({ type: 'array', maxItems: 500 });
  });
});
