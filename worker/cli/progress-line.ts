import type { AssessmentPart, PartProgress } from '../assessment.js';
import type { OutputStream } from './terminal.js';

/** Told of an assessment's progress; writes to standard error only. */
export interface ProgressReporter {
  /** A train of a case has come this far. */
  advanced(progress: PartProgress): void;
  /** A part has ended. */
  finished(part: AssessmentPart): void;
  /** Leaves the stream clean for what follows. */
  close(): void;
}

export interface ProgressOptions {
  /** Name of the scenario, in front of every line. */
  readonly title: string;
  readonly parts: readonly AssessmentPart[];
  readonly stream: OutputStream;
  /** Milliseconds; a clock that tests can set. */
  readonly now?: () => number;
}

/** A terminal is repainted at most this often, ms: faster than anybody reads, and never a cost. */
const repaintEvery = 100;

/**
 * On a terminal one line that is repainted in place and wiped at the end; elsewhere (logs, pipes) one plain line for each part
 * that has ended.
 */
export function createProgressReporter(options: ProgressOptions): ProgressReporter {
  return options.stream.isTTY ? paintedLine(options) : plainLines(options);
}

function paintedLine({
  title,
  parts,
  stream,
  now = () => performance.now(),
}: ProgressOptions): ProgressReporter {
  const share = createShare(parts);
  let painted = Number.NEGATIVE_INFINITY;
  let ended = 0;

  const paint = (text: string): void => {
    const time = now();
    if (time - painted < repaintEvery) return;
    painted = time;
    // One column short of the edge: a full line would wrap, and a wrapped line cannot be repainted.
    const room = Math.max(10, (stream.columns || 80) - 1);
    const percent = `${Math.floor(100 * share.total())}`.padStart(3);
    stream.write(
      `\r\x1b[2K${`${title}  ${percent} %  ${ended}/${parts.length} parts  ${text}`.slice(0, room)}`,
    );
  };

  return {
    advanced(progress) {
      share.advanced(progress);
      paint(`${progress.damageCase} · ${progress.train}`);
    },
    finished(part) {
      ended += 1;
      share.finished(part);
      paint(part.damageCase);
    },
    close() {
      if (painted > Number.NEGATIVE_INFINITY) stream.write('\r\x1b[2K');
    },
  };
}

function plainLines({ title, parts, stream }: ProgressOptions): ProgressReporter {
  let ended = 0;
  return {
    advanced() {},
    finished(part) {
      ended += 1;
      const trains = part.trains.length === 0 ? 'statics and modes' : part.trains.join(', ');
      stream.write(`${title}: ${ended} of ${parts.length}: ${part.damageCase}: ${trains}\n`);
    },
    close() {},
  };
}

/** Share of the whole work that is done, every train of every part weighing the same. */
function createShare(parts: readonly AssessmentPart[]) {
  const fractions = new Map<string, number>();
  for (const part of parts) for (const key of keysOf(part)) fractions.set(key, 0);
  const whole = Math.max(1, fractions.size);
  return {
    advanced({ damageCase, train, fraction }: PartProgress): void {
      const key = keyOf(damageCase, train);
      // Parts report from several threads; a late report must not turn the line back.
      if (fractions.has(key)) fractions.set(key, Math.min(1, Math.max(fractions.get(key)!, fraction)));
    },
    finished(part: AssessmentPart): void {
      for (const key of keysOf(part)) fractions.set(key, 1);
    },
    total(): number {
      let sum = 0;
      for (const fraction of fractions.values()) sum += fraction;
      return sum / whole;
    },
  };
}

function keysOf(part: AssessmentPart): readonly string[] {
  return part.trains.length === 0
    ? [keyOf(part.damageCase, '')]
    : part.trains.map((train) => keyOf(part.damageCase, train));
}

function keyOf(damageCase: string, train: string): string {
  return JSON.stringify([damageCase, train]);
}
