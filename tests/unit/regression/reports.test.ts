import { describe, expect, it } from 'vitest';
import { movementTable } from '../../../worker/cli/movement-table.js';
import type { Movement } from '../../../worker/regression/compare-contracts.js';
import { junitXml } from '../../../worker/regression/junit-xml.js';
import { markdownSummary } from '../../../worker/regression/markdown-summary.js';
import { worstFirst } from '../../../worker/regression/movement-text.js';
import type { RegressionRun, ScenarioOutcome } from '../../../worker/regression/run-regression.js';
import { tolerances } from '../../../worker/regression/tolerances.js';
import { recordedTerminal } from '../cli/recorded-terminal.js';

const nasty = 'a | b <script>alert("x")</script> & ]]> `code` *bold* \u0007 [link](x)\n# no heading';

const movement = (verdict: Movement['verdict'], place: string): Movement => ({
  place,
  quantity: 'utilisation',
  before: 0.5,
  now: 0.6,
  relative: 0.2,
  family: 'utilisation',
  tolerance: tolerances.utilisation,
  verdict,
});

const outcome = (about: Partial<ScenarioOutcome>): ScenarioOutcome => ({
  id: 'one',
  title: 'title',
  verdict: 'unchanged',
  movements: [],
  fault: null,
  result: null,
  seconds: 1.5,
  ...about,
});

const run: RegressionRun = {
  seconds: 3,
  passed: false,
  outcomes: [
    outcome({ id: 'same' }),
    outcome({ id: 'drifted', verdict: 'drift', movements: [movement('drift', 'intact')] }),
    outcome({ id: 'changed', title: nasty, verdict: 'change', movements: [movement('change', nasty)] }),
    outcome({ id: 'bare', verdict: 'no-baseline', fault: 'it has no stored baseline' }),
    outcome({ id: 'broken', verdict: 'failed', fault: nasty }),
  ],
};

describe('of very many movements', () => {
  const about = {
    before: 'a',
    now: 'b',
    relative: null,
    tolerance: tolerances.decided,
    verdict: 'change',
  } as const;
  const speed = { ...about, quantity: 'permitted_speed_kmh', before: 80, now: 85, relative: 1 / 16 } as const;
  const movements: Movement[] = [
    { ...about, place: 'scenario', quantity: 'scenario_sha256', family: 'described' },
    ...Array.from({ length: 300 }, (_, i) => ({
      ...{ ...about, place: 'intact / train', quantity: `reason ${i}`, family: 'worded' as const },
    })),
    movement('drift', 'intact / drifted'),
    movement('change', 'intact / utilised'),
    ...Array.from({ length: 250 }, (_, i) => ({
      ...speed,
      place: `case ${i} / unit`,
      family: 'permitted' as const,
    })),
    { ...speed, place: 'recommendation intact / freight', family: 'recommended' },
  ];
  const changed: RegressionRun = { ...run, outcomes: [outcome({ verdict: 'change', movements })] };

  it.each([
    ['the terminal', movementTable(movements, recordedTerminal({ columns: 200 }).stdout)],
    ['JUnit', junitXml(changed)],
    ['Markdown', markdownSummary(changed, 'deckpace 0.0.0')],
  ])('%s shows every changed decision, recommendations first, and how many it leaves out', (_, text) => {
    const places = [...text.matchAll(/recommendation intact|case \d+ |reason \d+|scenario_sha/g)].map(
      ([place]) => place.trim(),
    );
    expect(places[0]).toBe('recommendation intact');
    expect(places.slice(1)).toEqual(Array.from({ length: 250 }, (_, i) => `case ${i}`));
    expect(text).toContain('and 303 more');
  });

  it.each([40, 80, 109, 110, 120, 200])('the terminal cuts off nothing at %i columns', (columns) => {
    const [place, before] = [`case ${'w'.repeat(60)} / unit`, 2183.6842];
    const moved = {
      ...movement('change', place),
      quantity: 'deck_acceleration_m_per_s2',
      before,
      now: 2205.5211,
    };
    const text = movementTable(
      [moved, { ...speed, place, family: 'permitted' }],
      recordedTerminal({ columns }).stdout,
    );
    expect(text).not.toContain('…');
    expect(text.split('\n').filter((line) => line.length > columns)).toEqual([]);
    for (const word of ['2183.6842', '2205.5211', 'relative', 'tolerance'].slice(0, columns < 110 ? 2 : 4))
      expect(text).toContain(word);
    expect(text.replace(/[^w]/g, '')).toContain('w'.repeat(120));
  });

  it('numbers and sentences come before title, hash and cautions, and drift is last', () => {
    const { shown, left } = worstFirst(movements, 1000);
    expect(left).toBe(0);
    expect(shown.slice(-3).map(({ place }) => place)).toEqual([
      'intact / utilised',
      'scenario',
      'intact / drifted',
    ]);
  });
});

describe('the JUnit report', () => {
  const xml = junitXml(run);

  it('counts failures and errors', () => {
    expect(xml).toMatch(/<testsuite name="deckpace regression" tests="5" failures="2" errors="1"/);
  });

  it('escapes whatever a title or an error may contain, and leaves out what XML cannot hold', () => {
    expect(xml).not.toContain('<script>');
    expect(xml).not.toContain('\u0007');
    expect(xml).toContain('a | b &lt;script&gt;alert("x")&lt;/script&gt; &amp; ]]&gt; `code`');
    expect(xml).toContain('message="a | b &lt;script&gt;alert(&quot;x&quot;)');
  });
});

describe('the markdown summary', () => {
  const page = markdownSummary(run, 'deckpace 0.0.0');

  it('says first how many scenarios do not agree', () => {
    expect(page.split('\n')[2]).toMatch(/^3 of 5 scenarios do not agree/);
  });

  it('keeps every row of a table on one line with its own number of cells', () => {
    const rows = page.split('\n').filter((line) => line.startsWith('|'));
    const cells = rows.map((row) => row.replace(/\\[|\\]/g, '').split('|').length - 2);
    expect(new Set(cells)).toEqual(new Set([3, 7]));
    expect(page).not.toMatch(/^# no heading/m);
  });

  it('lets no text act as markup', () => {
    expect(page).not.toMatch(/(?<!\\)<script>/);
    expect(page).toContain('\\*bold\\*');
    expect(page).toContain('\\`code\\`');
  });
});
