// An engine whose behaviour is written in the train's name, for tests of the pool and of the queue.
const sink = [];

export function planAssessment(scenario) {
  const cases = ['intact', ...scenario.damage_cases.map((one) => one.id)];
  return cases.flatMap((damageCase) => scenario.trains.map((train) => ({ damageCase, trains: [train.id] })));
}

export function gatherResult(scenario, parts, scenarioSha256) {
  const order = scenario.trains.map((train) => train.id);
  const cases = ['intact', ...scenario.damage_cases.map((one) => one.id)].map((id) => {
    const ofCase = parts.filter((part) => part.part.damageCase === id);
    const trains = ofCase.flatMap((part) => part.trains);
    return { ...caseOf(id), trains: trains.sort((a, b) => order.indexOf(a.train) - order.indexOf(b.train)) };
  });
  return {
    format: 'deckpace/result@1',
    scenario_sha256: scenarioSha256,
    engine: 'deckpace 0.0.0',
    provenance: { git_commit: null, libraries: {} },
    title: scenario.title,
    line_speed_kmh: scenario.line.speed_kmh,
    speeds_hold: 'Speeds hold for trains in either direction.',
    cases,
    recommendations: cases.map(recommendationOf),
    cautions: ['Computed by the test engine.'],
  };
}

function recommendationOf({ damage_case, trains }) {
  const status = ['undetermined', 'closed', 'restricted', 'line-speed'].find((one) =>
    trains.some((train) => train.status === one),
  );
  return {
    damage_case,
    class: 'passenger',
    status,
    permitted_speed_kmh: status === 'restricted' ? 80 : status === 'line-speed' ? 160 : null,
    comfort_speed_kmh: null,
    governing: 'deck-acceleration',
    governing_train: trains[0]?.train ?? null,
    from_chainage_km: 12.34,
    to_chainage_km: 12.37,
    from_m: 0,
    to_m: 30,
    reason: 'Deck acceleration above its limit.',
  };
}

export function runPart(_scenario, part, options = {}) {
  for (const train of part.trains) {
    options.onProgress?.({ damageCase: part.damageCase, train, fraction: 0 });
    behave(train);
    options.onProgress?.({ damageCase: part.damageCase, train, fraction: 1 });
  }
  return {
    part,
    damageCase: caseOf(part.damageCase),
    trains: part.trains.map(trainOf),
  };
}

function behave(train) {
  if (train.startsWith('throw')) throw new RangeError('the matrix is singular at row 7');
  if (train.startsWith('exit')) process.exit(3);
  if (train.startsWith('hoard-heap')) for (;;) sink.push(new Array(1000).fill(Math.random()));
  if (train.startsWith('hoard-arrays')) for (;;) sink.push(new Float64Array(1 << 20).fill(Math.random()));
  if (train.startsWith('loop')) for (;;) Math.sqrt(Math.random());
  const busy = /^busy-(\d+)/.exec(train);
  if (busy) {
    const end = performance.now() + Number(busy[1]);
    while (performance.now() < end) Math.sqrt(Math.random());
  }
}

function caseOf(id) {
  return {
    damage_case: id,
    title: null,
    stable: true,
    mechanism: null,
    frequencies_Hz: [3.1],
    mode_shapes: [],
    statics: null,
    statics_released: null,
  };
}

function trainOf(train) {
  const status =
    ['undetermined', 'closed', 'line-speed'].find((one) => train.startsWith(one)) ?? 'restricted';
  return {
    train,
    class: 'passenger',
    status,
    permitted_speed_kmh: status === 'restricted' ? 80 : status === 'line-speed' ? 160 : null,
    comfort_speed_kmh: null,
    governing: 'deck-acceleration',
    reason: 'Deck acceleration above its limit.',
    blocked_bands_kmh: [],
    missing: [],
    resonance_speeds_kmh: [],
    checks: [],
    sweep: { speed_kmh: [10, 20], deck_acceleration_m_per_s2: [1, 2] },
    sweep_limits: {},
    envelope: null,
  };
}
