import { z } from 'zod';
import { libraryTrains } from '../../scenarios/library/load-models.js';
import { trackForms } from '../../scenarios/library/track-forms.js';
import { libraryVehicles } from '../../scenarios/library/vehicles.js';
import { limitSets } from '../../scenarios/limits/limit-sets.js';
import { scenarioSchema } from '../../scenarios/scenario.js';
import { none, type Route, route } from '../route.js';

const topics = {
  trains: libraryTrains(),
  limits: Object.values(limitSets),
  track: trackForms,
  vehicles: Object.values(libraryVehicles),
} as const;

const topicRoute = (topic: keyof typeof topics, summary: string): Route =>
  route({
    method: 'get',
    path: `/v1/library/${topic}`,
    operation: `readLibrary${topic[0]?.toUpperCase()}${topic.slice(1)}`,
    summary,
    access: 'anyone',
    params: none,
    query: none,
    body: none,
    replies: {
      200: {
        description: 'Everything built in, with its source',
        schema: z.strictObject({ items: z.array(z.looseObject({ id: z.string() })) }),
      },
    },
    handle: async () => ({ status: 200, json: { items: topics[topic] } }),
  });

const scenarioJsonSchema = z.toJSONSchema(scenarioSchema, { io: 'input' });

const scenarioSchemaRoute = route({
  method: 'get',
  path: '/v1/schemas/scenario.json',
  operation: 'readScenarioSchema',
  summary:
    'JSON Schema of the scenario file: shapes, units, ranges. Rules across keys are checked on submission.',
  access: 'anyone',
  params: none,
  query: none,
  body: none,
  replies: { 200: { description: 'JSON Schema', schema: z.looseObject({ $schema: z.string() }) } },
  handle: async () => ({ status: 200, json: scenarioJsonSchema }),
});

export const libraryRoutes = [
  topicRoute('trains', 'Load models.'),
  topicRoute('limits', 'Limit sets.'),
  topicRoute('track', 'Track forms.'),
  topicRoute('vehicles', 'Vehicles.'),
  scenarioSchemaRoute,
];
