// An engine whose behaviour is written in the train's name, for tests of the pool and of the queue.
const sink = [];

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
  return {
    train,
    class: 'passenger',
    status: train.startsWith('closed') ? 'closed' : 'restricted',
    permitted_speed_kmh: train.startsWith('closed') ? null : 80,
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
