/** Where an assessment's data stand in Redis. */
export const assessmentKeys = {
  record: (id: string) => `deckpace:assessment:${id}`,
  scenario: (id: string) => `deckpace:assessment:${id}:scenario`,
  plan: (id: string) => `deckpace:assessment:${id}:plan`,
  progress: (id: string) => `deckpace:assessment:${id}:progress`,
  parts: (id: string) => `deckpace:assessment:${id}:parts`,
  events: (id: string) => `deckpace:assessment:${id}:events`,
  output: (id: string, name: string) => `deckpace:assessment:${id}:output:${name}`,
  /** Ids by time of submission. */
  all: 'deckpace:assessments',
  inState: (state: string) => `deckpace:assessments:${state}`,
  /** Where the repair goes on in the list of a state. */
  repaired: (state: string) => `deckpace:assessments-repaired:${state}`,
  /** Id of the last assessment of a scenario by an engine. */
  latest: (scenarioSha256: string, engine: string) => `deckpace:latest:${scenarioSha256}:${engine}`,
  /** Id of the last completed one, or of one that is kept for ever. */
  completed: (scenarioSha256: string, engine: string) => `deckpace:completed:${scenarioSha256}:${engine}`,
  /** Ids of those that are kept for ever. */
  pinned: 'deckpace:pinned-assessments',
  idempotency: (keyId: string, key: string) => `deckpace:idempotency:${keyId}:${key}`,
  /** Channel: id of every assessment that has a new event. */
  changed: 'deckpace:assessment-changed',
  /** Channel: id of every assessment that was cancelled. */
  cancelled: 'deckpace:assessment-cancelled',
} as const;

export const outputNames = ['result', 'report', 'sweeps'] as const;
export type OutputName = (typeof outputNames)[number];

/** All keys that hold an assessment's data; its parts' results are there until it ends. */
export function keysOf(id: string): readonly string[] {
  return [
    assessmentKeys.record(id),
    assessmentKeys.scenario(id),
    assessmentKeys.plan(id),
    assessmentKeys.progress(id),
    assessmentKeys.parts(id),
    assessmentKeys.events(id),
    ...outputNames.map((name) => assessmentKeys.output(id, name)),
  ];
}
