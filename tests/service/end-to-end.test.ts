import { expect, test } from 'vitest';
import { readScenario } from '../../scenarios/read-scenario.js';
import { renderOutputs } from '../../worker/assessments/render-outputs.js';
import { compiledFile } from '../../worker/compiled-file.js';
import { type Client, Service } from './support/service.js';
import { until } from './support/until.js';

/** Small, but every status and all that a part can yield: two classes, a mechanism, a case without its evidence. */
const scenario = {
  format: 'deckpace/scenario@1',
  title: 'A short deck through queue and workers',
  line: { speed_kmh: 100, start_chainage_km: 1.5 },
  deck: {
    spans: [{ length_m: 30, mass_kg_per_m: 15_000, flexural_rigidity_N_m2: 1e11 }],
    damping_ratio: 0.05,
  },
  supports: [{ id: 'A1' }, { id: 'A2', stiffness_N_per_m: 3e9 }],
  trains: [
    { id: 'wagon', class: 'freight', axles: [{ at_m: 0, load_kN: 170 }] },
    { id: 'trolley', class: 'passenger', axles: [{ at_m: 0, load_kN: 100 }] },
  ],
  speeds: { from_kmh: 60, to_kmh: 120, step_kmh: 60 },
  damage_cases: [
    { id: 'A2-lost', effects: [{ kind: 'support-stiffness-loss', support: 'A2', fraction: 1 }] },
    { id: 'A2-soft', effects: [{ kind: 'support-stiffness-loss', support: 'A2', fraction: 0.5 }] },
  ],
};
// As a client may write it: another layout, another order of keys.
const text = JSON.stringify(Object.fromEntries(Object.entries(scenario).reverse()), null, 3);

/** By the engine that the service is built with: results name the commit of their build. */
async function inProcess() {
  const engine: typeof import('../../worker/engine.js') = await import(compiledFile('worker/engine.js').href);
  const { gatherResult, planAssessment, runPart } = engine;
  const reading = readScenario(text);
  if (!reading.ok) throw new Error(reading.faults.map(({ message }) => message).join('; '));
  const parts = planAssessment(reading.scenario).map((part) => runPart(reading.scenario, part));
  return renderOutputs(gatherResult(reading.scenario, parts, reading.sha256), JSON.parse(text));
}

async function submitTo(engineer: Client, path: string) {
  const response = await engineer.fetch('POST', path, {
    headers: { 'content-type': 'application/json' },
    body: text,
  });
  const { id } = (await response.json()) as { id: string };
  await until('completed', async () => {
    const { body } = await engineer.get(`/v1/assessments/${id}`);
    if (body.state === 'failed') throw new Error(body.reason);
    return body.state === 'completed';
  });
  const read = async (name: string) => (await engineer.fetch('GET', `/v1/assessments/${id}/${name}`)).text();
  return { result: await read('result'), report: await read('report'), sweeps: await read('sweeps.csv') };
}

test('one worker, two workers and no queue at all give the same bytes', async () => {
  // An empty variable is an absent one: the built-in engine.
  const service = await Service.start({ DECKPACE_ENGINE: '' });
  try {
    const engineer = await service.client('E. Engineer', 'engineer');
    await service.startWorker({ DECKPACE_THREADS: '1' });
    const byOne = await submitTo(engineer, '/v1/assessments');
    await service.startWorker({ DECKPACE_THREADS: '2' });
    const byTwo = await submitTo(engineer, '/v1/assessments?rerun=true');
    const expected = await inProcess();
    expect(byOne).toEqual(expected);
    expect(byTwo).toEqual(expected);
    expect(JSON.parse(byOne.result).recommendations.map((one: { status: string }) => one.status)).toEqual(
      expect.arrayContaining(['closed', 'undetermined']),
    );
  } finally {
    await service.stop();
  }
});
