import { describe, expect, it } from 'vitest';
import { createProgressReporter } from '../../../worker/cli/progress-line.js';
import { recordedStream } from './recorded-terminal.js';

const parts = [
  { damageCase: 'intact', trains: ['HSLM-A1', 'coal'] },
  { damageCase: 'P2-lost', trains: [] },
];
const half = { damageCase: 'intact', train: 'HSLM-A1', fraction: 0.5 };

function atTerminal(columns = 60) {
  const { stream, text } = recordedStream({ columns });
  let time = 0;
  const pass = (milliseconds: number): void => {
    time += milliseconds;
  };
  const progress = createProgressReporter({ title: 'valley', parts, stream, now: () => time });
  return { progress, text, pass };
}

describe('progress at a terminal', () => {
  it('is one line, repainted in place and never broken', () => {
    const { progress, text, pass } = atTerminal();
    progress.advanced(half);
    pass(200);
    progress.finished(parts[0]!);
    expect(text()).not.toContain('\n');
    expect(text().split('\r\x1b[2K').slice(1)).toEqual([
      'valley   16 %  0/2 parts  intact · HSLM-A1',
      'valley   66 %  1/2 parts  intact',
    ]);
  });

  it('is repainted at most ten times a second', () => {
    const { progress, text, pass } = atTerminal();
    for (let step = 0; step < 1000; step++) {
      progress.advanced(half);
      pass(1);
    }
    expect(text().split('\r').length - 1).toBe(10);
  });

  it('stays within a narrow terminal, for a wrapped line cannot be repainted', () => {
    const { progress, text } = atTerminal(20);
    progress.advanced(half);
    expect(text().replace('\r\x1b[2K', '').length).toBeLessThan(20);
  });

  it('is wiped at the end', () => {
    const { progress, text } = atTerminal();
    progress.advanced(half);
    progress.close();
    expect(text().endsWith('\r\x1b[2K')).toBe(true);
  });

  it('never runs backwards when a thread reports late', () => {
    const { progress, text, pass } = atTerminal();
    progress.finished(parts[0]!);
    pass(200);
    progress.advanced(half);
    expect(text()).toContain(' 66 %  1/2 parts  intact · HSLM-A1');
  });
});

describe('progress in a log', () => {
  it('is one plain line for each part that has ended', () => {
    const { stream, text } = recordedStream();
    const progress = createProgressReporter({ title: 'valley', parts, stream });
    progress.advanced(half);
    progress.finished(parts[0]!);
    progress.finished(parts[1]!);
    progress.close();
    expect(text()).toBe(
      'valley: 1 of 2: intact: HSLM-A1, coal\nvalley: 2 of 2: P2-lost: statics and modes\n',
    );
  });
});
