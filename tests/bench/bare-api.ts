import { Queue } from 'bullmq';
import express from 'express';

/** The least that a queueing API can be: parse the body, add a job, answer. What `bench:api` compares the service with. */
const queue = new Queue('bare', { connection: { url: process.env.REDIS_URL ?? '' } });
const app = express();
app.post('/v1/assessments', express.json({ limit: '10mb' }), async (request, response) => {
  const job = await queue.add('assessment', request.body, { removeOnComplete: true });
  response.status(202).json({ id: job.id });
});
const server = app.listen(0, '127.0.0.1', () => {
  const address = server.address();
  const port = typeof address === 'object' && address !== null ? address.port : 0;
  process.stdout.write(`${JSON.stringify({ url: `http://127.0.0.1:${port}` })}\n`);
});
