import { type Markup, markup } from '../markup.js';
import { formatExact } from '../number-format.js';
import { quantityHeading, quantityName } from '../quantity.js';
import { scrollBox } from './scroll-box.js';

const deepest = 24;

/**
 * The scenario as it was given, every key of it: units are read from the keys' suffixes, lists of records without lists or
 * records of their own become tables, anything else nests. Numbers keep every digit.
 */
export function inputsSection(document: unknown): Markup {
  return markup`<section class="given" aria-labelledby="inputs"><h2 id="inputs">Inputs</h2><p>The scenario file as it was given. Defaults that the file leaves out are not listed here.</p><details><summary>Show every input</summary><div class="inputs">${value(document, 'scenario', 0)}</div></details></section>`;
}

function value(input: unknown, name: string, depth: number): Markup {
  if (depth > deepest) return markup`<code>${JSON.stringify(input)}</code>`;
  if (Array.isArray(input)) return list(input, name, depth);
  if (isRecord(input)) return record(input, depth);
  return scalar(input);
}

function scalar(input: unknown): Markup {
  if (input === null) return markup`<span class="quiet">none (null)</span>`;
  if (typeof input === 'boolean') return markup`${input ? 'yes (true)' : 'no (false)'}`;
  if (typeof input === 'number') return markup`${formatExact(input)}`;
  if (input === '') return markup`<span class="quiet">empty text</span>`;
  return markup`${String(input)}`;
}

function record(input: Readonly<Record<string, unknown>>, depth: number): Markup {
  const entries = Object.entries(input);
  if (entries.length === 0) return markup`<span class="quiet">empty</span>`;
  return markup`<dl class="record">${entries.map(([key, content]) => {
    const { label, unit } = quantityName(key);
    const nested = isNested(content);
    return markup`<div class="${nested ? 'nested' : 'plain'}"><dt>${label}</dt><dd>${value(content, label, depth + 1)}${unit === null || content === null || nested ? null : ` ${unit}`}</dd></div>`;
  })}</dl>`;
}

function list(input: readonly unknown[], name: string, depth: number): Markup {
  if (input.length === 0) return markup`<span class="quiet">empty list</span>`;
  if (isScalarList(input))
    return markup`${input.map((item, index) => markup`${index > 0 ? ', ' : ''}${scalar(item)}`)}`;
  // A table inside a table is wider than a page, so that printing would shrink everything else with it.
  if (!input.every(isFlatRecord))
    return markup`<ol>${input.map((item) => markup`<li>${value(item, name, depth + 1)}</li>`)}</ol>`;
  const keys = [...new Set(input.flatMap((item) => Object.keys(item)))];
  const rows = input.map(
    (item, index) =>
      markup`<tr><th scope="row">${index + 1}</th>${keys.map((key) => markup`<td>${Object.hasOwn(item, key) ? value(item[key], key, depth + 1) : null}</td>`)}</tr>`,
  );
  return scrollBox(
    `Inputs: ${name}`,
    markup`<table><thead><tr><th scope="col">No.</th>${keys.map((key) => markup`<th scope="col">${quantityHeading(key)}</th>`)}</tr></thead><tbody>${rows}</tbody></table>`,
  );
}

function isNested(input: unknown): boolean {
  return typeof input === 'object' && input !== null && !isScalarList(input);
}

function isScalarList(input: unknown): boolean {
  return Array.isArray(input) && input.every((item) => typeof item !== 'object' || item === null);
}

function isFlatRecord(input: unknown): input is Readonly<Record<string, unknown>> {
  return isRecord(input) && !Object.values(input).some(isNested);
}

function isRecord(input: unknown): input is Readonly<Record<string, unknown>> {
  return typeof input === 'object' && input !== null && !Array.isArray(input);
}
