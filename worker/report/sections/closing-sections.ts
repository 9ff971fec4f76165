import type { Result } from '../../../scenarios/result.js';
import { cautionsWithTorsion, standardCautions } from '../cautions.js';
import { type Markup, markup } from '../markup.js';

/** The cautions: those of the result first, then the standard ones that it does not already carry. */
export function cautionsSection(result: Result): Markup {
  const torsion = cautionsWithTorsion.every((caution) => result.cautions.includes(caution));
  const all = new Set([...result.cautions, ...(torsion ? cautionsWithTorsion : standardCautions)]);
  return markup`<section aria-labelledby="cautions"><h2 id="cautions">Cautions</h2><ul class="cautions">${[...all].map((caution) => markup`<li>${caution}</li>`)}</ul></section>`;
}

/** What was run on what: enough to produce the same result again. */
export function provenanceSection(result: Result): Markup {
  const rows: readonly (readonly [string, string])[] = [
    ['Engine', result.engine],
    ['Scenario (SHA-256)', result.scenario_sha256],
    ['Source revision', result.provenance.git_commit ?? 'not recorded'],
    ['Result format', result.format],
    ...Object.entries(result.provenance.libraries)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([name, version]) => [`Library ${name}`, version] as const),
  ];
  return markup`<section aria-labelledby="provenance"><h2 id="provenance">Provenance</h2><dl class="facts">${rows.map(([name, text]) => markup`<div><dt>${name}</dt><dd><code>${text}</code></dd></div>`)}</dl></section>`;
}
