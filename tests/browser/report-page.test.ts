import { readFileSync } from 'node:fs';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Result } from '../../scenarios/result.js';
import { renderReport } from '../../worker/report/report-html.js';
import { exampleResult, exampleScenario } from '../unit/report/example-result.js';
import { chromiumProgram, startChromium } from './chromium.js';

/** A4 less the margins of the report's page style, at 96 px to the inch. */
const printedWidth = Math.floor(((210 - 2 * 12) / 25.4) * 96);

const demos = ['ostlewater-viaduct', 'hollinbeck-crossing', 'two-track-bridge'] as const;
const demo = (name: string): unknown =>
  JSON.parse(readFileSync(new URL(`../../scenarios/demo/${name}.json`, import.meta.url), 'utf8'));

describe.skipIf(chromiumProgram === null)('the report in a browser', () => {
  let browser: Browser;
  let page: Page;
  beforeAll(async () => {
    browser = await startChromium();
    page = await browser.newPage();
  });
  afterAll(async () => {
    await browser?.close();
  });

  it.each(demos)(
    'is as wide as an A4 page in print with the inputs of %s, so that nothing shrinks',
    async (name) => {
      await show(page, renderReport(exampleResult(), demo(name)), printedWidth, 'print');
      expect(await pageWidth(page)).toBeLessThanOrEqual(printedWidth);
    },
  );

  it('is as wide as an A4 page in print whatever the inputs hold', async () => {
    const trains = [
      { id: 'unit', vehicles: [{ bogie_vehicle: { length_m: 20 } }] },
      { load_model: 'HSLM-A1' },
    ];
    const nested = { deepest: [{ deeper: [{ deep: trains, name: 'a'.repeat(60) }], note: 'b'.repeat(60) }] };
    const document = { ...exampleScenario, trains: [...trains, ...trains], nested };
    await show(page, renderReport(exampleResult(), document), printedWidth, 'print');
    expect(await pageWidth(page)).toBeLessThanOrEqual(printedWidth);
  });

  it.each([
    [400, 'screen'],
    [printedWidth, 'print'],
    [1280, 'screen'],
  ] as const)(
    'shows names of sixty letters in the table of recommendations, %i px wide on %s',
    async (width, media) => {
      const words = 'Parcels and night mail special consist on Sundays and feasts';
      expect(words).toHaveLength(60);
      for (const name of [words, 'w'.repeat(60)]) {
        await show(page, renderReport(renamed(name), exampleScenario), width, media);
        expect(await pageWidth(page)).toBeLessThanOrEqual(width);
        expect(await cutOff(page, '[aria-label="Recommendation table"]')).toEqual([]);
      }
    },
  );

  it.each([360, 768, 1024, 1280])(
    'hides no reason and no stretch of line at the side at %i px',
    async (width) => {
      await show(page, renderReport(reserved(), exampleScenario), width, 'screen');
      expect(await pageWidth(page)).toBeLessThanOrEqual(width);
      expect(await cutOff(page, '[aria-label="Recommendation table"]')).toEqual([]);
    },
  );

  it('has the first speed on the first screen of a telephone, however long the notes are', async () => {
    const notes = 'Seven spans over a brook. '.repeat(200);
    await show(page, renderReport(exampleResult(), { ...exampleScenario, notes }), 360, 'screen');
    const speed = await page.locator('td.speed').first().boundingBox();
    expect(speed!.y + speed!.height).toBeLessThan(760);
    await expect(
      page.getByRole('region', { name: 'Notes of the scenario' }).textContent(),
    ).resolves.toContain(notes.trim());
  });

  it('has the first speed on the first screen of a telephone, however long the title is', async () => {
    const result = exampleResult();
    result.title = 'A viaduct over brooks and meadows, '.repeat(60).slice(0, 2000);
    await show(page, renderReport(result, exampleScenario), 390, 'screen');
    const speed = await page.locator('td.speed').first().boundingBox();
    expect(speed!.y + speed!.height).toBeLessThan(844);
  });

  it('says that folded cases are not printed where a browser cannot open them for print, and nowhere else', async () => {
    const sentence = page.getByText(
      'This browser prints only the cases that are open, and the inputs only if they are.',
    );
    const html = renderReport(exampleResult(), exampleScenario);
    for (const media of ['screen', 'print'] as const) {
      await show(page, html, printedWidth, media);
      expect(await sentence.isVisible()).toBe(false);
      await show(page, html.replaceAll('::details-content', '::unknown-to-it'), printedWidth, media);
      expect(await sentence.isVisible()).toBe(true);
    }
  });

  describe('on paper', () => {
    const leftOut = /^Not on this paper: the evidence/;
    const evidence = '#case-2 h4';
    const choice = 'Print the evidence of every case and the inputs as well: many pages';

    it('is short: what is folded on the screen is left out, which the paper says, with what each case assumes', async () => {
      await page.setContent(renderReport(exampleResult(), exampleScenario));
      await page.emulateMedia({ media: 'screen' });
      expect(await page.getByText(leftOut).isVisible()).toBe(false);
      await page.emulateMedia({ media: 'print' });
      expect(await page.getByText(leftOut).isVisible()).toBe(true);
      expect(
        await page.getByText('Support P2 is lost: it carries nothing any more.').first().isVisible(),
      ).toBe(true);
      expect(await page.locator('#matrix-picture-title').count()).toBe(1);
      expect(await page.locator(evidence).first().isVisible()).toBe(false);
      expect(await pages(page)).toBeLessThanOrEqual(5);
    });

    it('has the cases that were open', async () => {
      await page.emulateMedia({ media: 'print' });
      await page.setContent(renderReport(exampleResult(), exampleScenario));
      await page
        .locator('details.case')
        .nth(1)
        .evaluate((fold) => fold.setAttribute('open', ''));
      expect(await page.locator(evidence).first().isVisible()).toBe(true);
      expect(await page.locator('#case-3 h4').first().isVisible()).toBe(false);
      expect(await page.getByText(leftOut).isVisible()).toBe(true);
    });

    it('has the evidence of every case and the inputs where these were asked for', async () => {
      await page.emulateMedia({ media: 'screen' });
      await page.setContent(renderReport(exampleResult(), exampleScenario));
      await page.getByLabel(choice).check();
      expect(await page.locator(evidence).first().isVisible()).toBe(false);
      await page.emulateMedia({ media: 'print' });
      for (const text of [evidence, '#case-3 h4', '.inputs'])
        expect(await page.locator(text).first().isVisible()).toBe(true);
      expect(await page.getByText(leftOut).isVisible()).toBe(false);
      expect(await pages(page)).toBeGreaterThan(10);
    });

    it('has them at the address that ends in #print-evidence, for programs that print', async () => {
      await page.emulateMedia({ media: 'print' });
      await page.setContent(renderReport(exampleResult(), exampleScenario));
      await page.evaluate('location.hash = "print-evidence"');
      expect(await page.locator(evidence).first().isVisible()).toBe(true);
      expect(await page.getByText(leftOut).isVisible()).toBe(false);
    });
  });

  it('keeps the names of the cases beside the matrix while its columns are scrolled on a telephone', async () => {
    await show(page, renderReport(exampleResult(), exampleScenario), 390, 'screen');
    const box = page.locator('.scroll:has(.matrix)');
    const scrolled = await box.evaluate((element) => {
      element.scrollLeft = 200;
      return element.scrollLeft;
    });
    expect(scrolled).toBeGreaterThan(100);
    const [outer, names] = [await box.boundingBox(), await box.locator('svg').first().boundingBox()];
    expect(names!.x).toBeCloseTo(outer!.x, 0);
  });

  it('breaks no word of the recommendation in print', async () => {
    await show(page, renderReport(reserved(), exampleScenario), printedWidth, 'print');
    expect(await pageWidth(page)).toBeLessThanOrEqual(printedWidth);
    expect(await brokenWords(page, '[aria-label="Recommendation table"]')).toEqual([]);
  });

  it('is as wide as an A4 page in print where supports have names of sixty letters', async () => {
    const result = exampleResult();
    for (const { statics } of result.cases) {
      if (statics !== null) statics.reactions_kN = { ['w'.repeat(60)]: 1000, ['v'.repeat(60)]: -20 };
    }
    await show(page, renderReport(result, exampleScenario), printedWidth, 'print');
    expect(await pageWidth(page)).toBeLessThanOrEqual(printedWidth);
  });

  it('gives pictures paper of their own where colours are forced, since their ink is dark', async () => {
    await page.emulateMedia({ forcedColors: 'active', colorScheme: 'dark' });
    await show(page, renderReport(exampleResult(), exampleScenario), 1280, 'screen');
    const papers = await page
      .locator('.picture svg')
      .evaluateAll((pictures) =>
        pictures.map((one) => one.ownerDocument.defaultView?.getComputedStyle(one).backgroundColor),
      );
    await page.emulateMedia({ forcedColors: 'none', colorScheme: 'light' });
    expect(papers.length).toBeGreaterThan(3);
    expect(new Set(papers)).toEqual(new Set(['rgb(255, 255, 255)']));
  });

  it('shows the table of checks to its last column at 1280 px', async () => {
    await show(page, renderReport(wordy(), exampleScenario), 1280, 'screen');
    expect(await cutOff(page, '.scroll:has(table.checks)')).toEqual([]);
  });
});

/** With every fold open, as in print where all of the evidence is wanted. */
async function show(page: Page, html: string, width: number, media: 'screen' | 'print'): Promise<void> {
  await page.setViewportSize({ width, height: 1000 });
  await page.emulateMedia({ media });
  await page.setContent(html);
  await page.locator('details').evaluateAll((folds) => {
    for (const fold of folds) fold.setAttribute('open', '');
  });
}

const pages = async (page: Page): Promise<number> =>
  (await page.pdf({ preferCSSPageSize: true })).toString('latin1').match(/\/Type\s*\/Page\b/g)!.length;

const pageWidth = (page: Page): Promise<number> =>
  page.locator('html').evaluate((element) => element.scrollWidth);

/** Boxes that hide part of what they hold until they are scrolled. */
function cutOff(page: Page, selector: string): Promise<string[]> {
  return page
    .locator(selector)
    .evaluateAll((boxes) =>
      boxes.flatMap((box) =>
        box.scrollWidth > box.clientWidth ? `${box.getAttribute('aria-label')}: ${box.scrollWidth}` : [],
      ),
    );
}

/** Words of letters alone that stand on two lines. */
function brokenWords(page: Page, selector: string): Promise<string[]> {
  return page.locator(selector).evaluate((box) => {
    const textNodes = 4;
    const broken: string[] = [];
    const texts = box.ownerDocument.createTreeWalker(box, textNodes);
    for (let node = texts.nextNode(); node !== null; node = texts.nextNode()) {
      for (const word of (node.textContent ?? '').matchAll(/\p{L}+/gu)) {
        const range = box.ownerDocument.createRange();
        range.setStart(node, word.index);
        range.setEnd(node, word.index + word[0].length);
        const lines = new Set([...range.getClientRects()].map(({ top }) => Math.round(top)));
        if (lines.size > 1) broken.push(word[0]);
      }
    }
    return broken;
  });
}

/** Every recommendation with the longest status, and with a stretch in metres. */
function reserved(): Result {
  const result = exampleResult();
  for (const [index, row] of result.recommendations.entries()) {
    row.class = 'passenger';
    Object.assign(row, { from_chainage_km: null, to_chainage_km: null, from_m: -12, to_m: 1860 });
    if (index % 2 === 0) Object.assign(row, { status: 'undetermined', permitted_speed_kmh: null });
  }
  return result;
}

/** Damage cases, classes and trains with names as long as a scenario may give them. */
function renamed(name: string): Result {
  const result = exampleResult();
  for (const recommendation of result.recommendations) {
    recommendation.class = name;
    recommendation.governing_train = name;
  }
  for (const one of result.cases) {
    if (one.title !== null) one.title = name;
    for (const train of one.trains) train.class = name;
  }
  return result;
}

/** Checks with the longest texts and numbers that they come with. */
function wordy(): Result {
  const result = exampleResult();
  for (const check of result.cases.flatMap((one) => one.trains.flatMap((train) => train.checks))) {
    check.value = 0.001234;
    check.unit = 'spans';
    check.where = `rail seats at support ${'w'.repeat(60)}, where clips that give way do not hold the rail`;
    check.source =
      'EN 13848-5, longitudinal level D1 (3 m to 25 m), immediate action limit, isolated defect (mem)';
  }
  return result;
}
