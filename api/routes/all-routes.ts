import { z } from 'zod';
import { openApiDocument } from '../openapi.js';
import { none, type Route, route } from '../route.js';
import { assessmentOutputRoutes } from './assessment-outputs.js';
import { assessmentRoutes } from './assessments.js';
import { libraryRoutes } from './library.js';
import { operationRoutes } from './operations.js';
import { restrictionRoutes } from './restrictions.js';
import { subscriptionRoutes } from './subscriptions.js';

const openApi = route({
  method: 'get',
  path: '/openapi.json',
  operation: 'readOpenApi',
  summary: 'This interface as an OpenAPI 3.1 document.',
  access: 'anyone',
  params: none,
  query: none,
  body: none,
  replies: { 200: { description: 'OpenAPI document', schema: z.looseObject({ openapi: z.string() }) } },
  handle: async (_request, { engine }) => ({ status: 200, json: openApiDocument(allRoutes, engine) }),
});

/** Every route of the service. */
export const allRoutes: readonly Route[] = [
  ...assessmentRoutes,
  ...assessmentOutputRoutes,
  ...restrictionRoutes,
  ...subscriptionRoutes,
  ...libraryRoutes,
  ...operationRoutes,
  openApi,
];
