import { describe, expect, it } from 'vitest';
import { standardCautions } from '../../../worker/report/cautions.js';
import { renderReport } from '../../../worker/report/report-html.js';
import { exampleResult, exampleScenario } from './example-result.js';
import { parsePage } from './parse-page.js';

const html = renderReport(exampleResult(), exampleScenario);
const page = parsePage(html);
const hostile = `"><script>alert(1)</script><img src=x onerror='alert(2)'>&amp;\u0000\u202e`;

function hostileResult() {
  const result = exampleResult();
  result.title = hostile;
  result.engine = hostile;
  result.cautions = [hostile];
  result.scenario_sha256 = hostile;
  result.provenance = { git_commit: hostile, libraries: { [hostile]: hostile } };
  for (const recommendation of result.recommendations) {
    recommendation.reason = hostile;
    recommendation.class = hostile;
    recommendation.governing_train = hostile;
  }
  for (const damageCase of result.cases) {
    damageCase.title = hostile;
    damageCase.mechanism = hostile;
    if (damageCase.statics) damageCase.statics.reactions_kN = { [hostile]: 1 };
    for (const train of damageCase.trains) {
      train.train = hostile;
      train.class = hostile;
      train.reason = hostile;
      train.missing = [hostile];
      train.sweep[hostile] = train.sweep.speed_kmh;
      for (const check of train.checks)
        Object.assign(check, { unit: hostile, where: hostile, source: hostile });
    }
  }
  return result;
}

describe('the report', () => {
  it('is well-formed HTML', () => {
    expect(page.errors).toEqual([]);
  });

  it('gives every id once, and every link and label inside the page leads to one', () => {
    const ids = page.elements.flatMap(({ attributes }) => attributes.get('id') ?? []);
    expect(new Set(ids).size).toBe(ids.length);
    const links = page.elements.flatMap(({ attributes }) => attributes.get('href') ?? []);
    expect(links.length).toBeGreaterThan(20);
    expect(links.filter((link) => !link.startsWith('#') || !ids.includes(link.slice(1)))).toEqual([]);
    const labels = page.elements.flatMap(
      ({ attributes }) => attributes.get('aria-labelledby')?.split(' ') ?? [],
    );
    expect(labels.filter((label) => !ids.includes(label))).toEqual([]);
    const patterns = [...html.matchAll(/url\(#([^)]*)\)/g)].map((match) => match[1] ?? '');
    expect(patterns.length).toBeGreaterThan(0);
    expect(patterns.filter((pattern) => !ids.includes(pattern))).toEqual([]);
  });

  it('needs nothing from outside: no script, no resource, and a policy that forbids both', () => {
    const outside = ['script', 'link', 'img', 'iframe', 'object', 'embed', 'image', 'use'];
    expect(page.elements.filter(({ name }) => outside.includes(name))).toEqual([]);
    expect(html).not.toMatch(/@import|url\((?!#)/);
    const policy = page.elements.find(
      ({ attributes }) => attributes.get('http-equiv') === 'Content-Security-Policy',
    );
    expect(policy?.attributes.get('content')).toContain("default-src 'none'");
  });

  it('gives the same bytes for the same result', () => {
    expect(renderReport(exampleResult(), structuredClone(exampleScenario))).toBe(html);
  });

  it('puts the recommendation before everything else, with speed, check, reason and stretch', () => {
    const order = [
      'Recommendation',
      'Every damage case and train',
      'Damage cases',
      'Inputs',
      'Cautions',
      'Provenance',
    ];
    const places = order.map((heading) => html.search(new RegExp(`<h[23] id="[a-z]+">${heading}</h`)));
    expect(places.every((place) => place > 0)).toBe(true);
    expect([...places].sort((a, b) => a - b)).toEqual(places);
    const table = parsePage(html.slice(places[0], places[1])).text;
    for (const { reason } of exampleResult().recommendations) expect(table).toContain(reason);
    expect(table).toContain('150 km/h');
    expect(table).toContain('Deck acceleration');
    expect(table).toContain('km 12.340');
    expect(table).toContain('to km 12.618');
  });

  it('tells every status by a word, not by colour alone', () => {
    for (const word of ['Line speed', 'Restricted', 'Closed', 'Undetermined'])
      expect(page.text).toContain(word);
  });

  it('never gives a speed where the case is closed or undetermined, whatever the numbers say', () => {
    const result = exampleResult();
    for (const recommendation of result.recommendations) {
      recommendation.status = 'undetermined';
      recommendation.permitted_speed_kmh = 187;
      recommendation.comfort_speed_kmh = 183;
    }
    for (const train of result.cases.flatMap((one) => one.trains)) {
      train.status = 'closed';
      train.permitted_speed_kmh = null;
    }
    expect(parsePage(renderReport(result, exampleScenario)).text).not.toMatch(/18[37] km\/h/);
  });

  it('says that a mechanism is one, what moves, and that no train may cross', () => {
    expect(page.text).toContain('Not in equilibrium.');
    expect(page.text).toContain(
      'The deck between P4 and P6 turns about P4 and P6 and falls at support P5. No train may cross',
    );
    expect(page.text).toContain('there are no reactions to report');
  });

  it('shows missing evidence as such and lists what to supply', () => {
    expect(page.text).toContain('Evidence missing.');
    expect(page.text).toContain('shear resistance of span 8');
    expect(page.text).toContain('? evidence missing');
    expect(page.text).toContain('not judged');
  });

  it('compares the reactions of a damaged case with intact and flags a pull', () => {
    expect(page.text).toMatch(/A1 kN 2445 −412 pull −2857 −117 2445/);
    expect(page.text).toMatch(/P2 \(lost\) kN 5868 0 −5868 −100 0/);
  });

  it('marks the governing check and gives every check its source', () => {
    expect(page.text).toMatch(/Deck acceleration governs safety/);
    for (const { source } of exampleResult().cases.flatMap((one) =>
      one.trains.flatMap((train) => train.checks),
    ))
      expect(page.text).toContain(source);
  });

  it('gives every picture a title and a description', () => {
    const pictures = page.elements.filter(
      ({ name, attributes }) => name === 'svg' && attributes.get('aria-hidden') !== 'true',
    );
    expect(pictures.length).toBeGreaterThan(50);
    for (const { attributes } of pictures) {
      expect(attributes.get('role')).toBe('img');
      expect(attributes.get('aria-labelledby')?.split(' ')).toHaveLength(2);
    }
    expect(html).not.toMatch(/<(title|desc)[^>]*><\/(title|desc)>/);
  });

  it('draws no coordinate that is not a number', () => {
    expect(html).not.toMatch(/NaN|Infinity|undefined|\[object/);
  });

  it('carries the standard cautions and those of the result, each once', () => {
    for (const caution of [...standardCautions, ...exampleResult().cautions])
      expect(page.text.split(caution)).toHaveLength(2);
  });

  it('says what produced it', () => {
    for (const fact of ['deckpace 0.1.0', '5f'.repeat(32), '0123456789abcdef', '4.0.4'])
      expect(page.text).toContain(fact);
  });

  it('takes hostile text as text, wherever it stands', () => {
    const report = renderReport(hostileResult(), {
      ...exampleScenario,
      notes: hostile,
      [hostile]: [{ [hostile]: hostile }],
      supports: exampleScenario.supports.map((support) => ({ ...support, id: `${support.id}${hostile}` })),
    });
    const parsed = parsePage(report);
    expect(parsed.errors).toEqual([]);
    expect(parsed.elements.filter(({ name }) => name === 'script' || name === 'img')).toEqual([]);
    const names = parsed.elements.flatMap(({ attributes }) => [...attributes.keys()]);
    expect(names.filter((name) => name.startsWith('on'))).toEqual([]);
    expect(parsed.text).toContain('<script>alert(1)</script>');
  });

  it('is still whole for a document that it cannot read, only without supports in the pictures', () => {
    for (const document of [null, 'text', [], { deck: 3, supports: {} }]) {
      const report = parsePage(renderReport(exampleResult(), document));
      expect(report.errors).toEqual([]);
      expect(report.text).toContain('Pier P2 lost');
    }
  });

  it('tells cases apart that have one title, or that of the intact one, wherever it names them', () => {
    const result = exampleResult();
    for (const one of result.cases.slice(1)) one.title = 'Intact';
    const report = renderReport(result, exampleScenario);
    const name = '<bdi>P2-lost</bdi> <bdi class="quiet">Intact</bdi>';
    expect(report.split(`<a href="#case-3">${name}</a>`)).toHaveLength(3);
    expect(report).toContain(`<h3>${name}</h3>`);
    expect(report).toContain('<a href="#case-3">P2-lost (Intact)</a>');
    expect(report).toContain('along the deck: P2-lost (Intact), ore-train');
    expect(report).not.toMatch(/[:,] Intact[,:"]/);
  });

  it('says with the recommendation for which directions the speeds hold', () => {
    const section = /<section aria-labelledby="recommendation">.*?<table/s.exec(html)?.[0];
    expect(section).toContain('Speeds hold for trains in either direction');
  });

  it('is still whole for a result without recommendations, trains, sweeps or modes', () => {
    const result = exampleResult();
    result.recommendations = [];
    for (const one of result.cases) {
      one.trains = one.trains.slice(0, 1);
      one.frequencies_Hz = [];
      one.mode_shapes = [];
      for (const train of one.trains) {
        train.sweep = { speed_kmh: [] };
        train.checks = [];
        train.envelope = null;
      }
    }
    result.cases[1]!.trains = [];
    const report = renderReport(result, exampleScenario);
    expect(parsePage(report).errors).toEqual([]);
    expect(report).not.toContain('NaN');
  });
});
