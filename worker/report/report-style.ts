/**
 * The report's only style sheet. Phone first; tables of class `restack` become cards where they would not fit, so that no reason and no
 * stretch of line hides at the side; every other wide thing scrolls in its own box. What is folded on the screen stays off the paper, which says so,
 * unless its reader has ticked `print-evidence` or opened the page at `#print-evidence`.
 */
export const reportStyle = `
:root { color-scheme: light; --text: #1d2733; --quiet: #55616e; --line: #d5dae0; --soft: #f5f7f9; --link: #14507e; }
* { box-sizing: border-box; }
html { -webkit-text-size-adjust: 100%; scroll-padding-top: 4rem; }
body { margin: 0; color: var(--text); background: #fff; font: 1rem/1.55 system-ui, -apple-system, "Segoe UI", Roboto, "Helvetica Neue", Arial, sans-serif; overflow-wrap: anywhere; }
.page { max-width: 76rem; margin: 0 auto; padding: 1.25rem 1rem 4rem; }
h1 { font-size: 1.75rem; line-height: 1.2; margin: .2rem 0 .5rem; letter-spacing: -.01em; }
h1.long { font-size: 1.1rem; line-height: 1.35; }
@media screen { h1.long { max-height: 9.5rem; overflow-y: auto; } }
h2 { font-size: 1.35rem; line-height: 1.25; margin: 2.75rem 0 .75rem; padding-top: 1rem; border-top: 2px solid var(--text); }
h3 { font-size: 1.15rem; line-height: 1.3; margin: 1.75rem 0 .6rem; }
h4 { font-size: 1.05rem; margin: 2rem 0 .5rem; }
h5 { font-size: .95rem; margin: 1.4rem 0 .4rem; color: var(--quiet); }
p, ul, ol, dl { margin: 0 0 .8rem; }
p, li { max-width: 48rem; }
.notes p { white-space: pre-line; }
a { color: var(--link); text-underline-offset: .15em; }
a:focus-visible, summary:focus-visible, .scroll:focus-visible, h1:focus-visible, input:focus-visible { outline: 3px solid #14507e; outline-offset: 2px; }
code { font: .88em ui-monospace, SFMono-Regular, Menlo, Consolas, monospace; }
.quiet { color: var(--quiet); font-weight: 400; }
th a .quiet { display: -webkit-inline-box; -webkit-box-orient: vertical; -webkit-line-clamp: 5; overflow: hidden; }
.kicker { margin: 0; color: var(--quiet); font-size: .9rem; }
.skip { position: absolute; left: -999rem; }
.skip:focus { left: 1rem; top: .5rem; background: #fff; padding: .5rem .75rem; z-index: 1; }
nav.contents { margin: 1rem 0 0; padding: .75rem 1rem; background: var(--soft); border-radius: .4rem; }
nav.contents ul { list-style: none; display: flex; flex-wrap: wrap; gap: .25rem 1.2rem; padding: 0; margin: 0; }
nav.contents li { max-width: none; }
nav.contents p { margin: 0 0 .3rem; font-weight: 600; }
table { border-collapse: collapse; width: 100%; font-size: .92rem; line-height: 1.4; overflow-wrap: break-word; }
caption { text-align: left; font-weight: 600; color: var(--quiet); padding: .25rem 0 .4rem; font-size: .9rem; }
th, td { text-align: left; vertical-align: top; padding: .4rem .7rem .4rem 0; border-bottom: 1px solid var(--line); }
thead th { font-size: .82rem; font-weight: 600; color: var(--quiet); border-bottom: 1.5px solid var(--text); vertical-align: bottom; white-space: nowrap; }
tbody th { font-weight: 600; }
.deck-ends thead th, .checks thead th { white-space: normal; }
.number { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }
.whole { white-space: nowrap; }
.inputs table { width: auto; }
.inputs th, .inputs td { padding-right: 1.6rem; }
.inputs ol { padding-left: 1.6rem; }
.inputs ol, .inputs li { max-width: none; }
.inputs li { margin-bottom: .5rem; }
td.speed, strong.speed { font-weight: 700; font-variant-numeric: tabular-nums; }
.status { display: inline-flex; align-items: center; gap: .4rem; font-weight: 600; white-space: nowrap; }
.reserved { white-space: normal; min-width: 8rem; }
.icon { flex: none; }
.flag { color: #8a1226; white-space: nowrap; }
.scroll { overflow-x: auto; margin: .75rem 0; max-width: 100%; }
.scroll table { overflow-wrap: normal; }
.picture svg { display: block; width: 100%; height: auto; }
.picture.wide { min-width: 640px; max-width: 62rem; }
.picture.matrix { display: flex; align-items: flex-start; }
.picture.matrix svg { flex: 0 0 var(--columns); width: auto; min-width: 0; max-width: none !important; }
.picture.matrix svg:first-child { flex-basis: var(--names); position: sticky; left: 0; background: #fff; }
.charts { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 26rem), 1fr)); gap: 1rem 1.5rem; margin: .5rem 0 1rem; }
.charts .picture { max-width: 36rem; }
.pair { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 28rem), 1fr)); gap: 0 2rem; align-items: start; }
.pair > * { min-width: 0; }
.key { list-style: none; padding: 0; display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 24rem), 1fr)); gap: .3rem 1.5rem; font-size: .9rem; }
.key li { display: flex; align-items: flex-start; gap: .6rem; }
.key .status { flex: 0 0 9rem; }
details.case { border-top: 1px solid var(--line); }
details.case:last-of-type { border-bottom: 1px solid var(--line); }
details.case > summary { padding: .8rem 0; }
summary { cursor: pointer; }
.folds, .on-paper { display: none; }
.choice { display: flex; gap: .5rem; align-items: baseline; }
@supports not selector(::details-content) { .folds { display: block; } .choice, p.left-out { display: none !important; } }
summary h3 { display: inline; margin: 0 .75rem 0 .2rem; }
details:not(.case) > summary { color: var(--link); padding: .4rem 0; }
.verdicts { display: inline-flex; flex-wrap: wrap; gap: .15rem 1.3rem; font-size: .9rem; vertical-align: top; padding-top: .15rem; }
.chip { display: inline-flex; flex-wrap: wrap; gap: .4rem; align-items: center; }
.chip .status { font-weight: 600; }
.case-body { padding: 0 0 2rem; scroll-margin-top: 6rem; }
.train { margin-top: 2.25rem; padding-top: .25rem; border-top: 1px solid var(--line); }
.train h4 { margin-top: 1rem; }
.verdict { font-size: 1.1rem; display: flex; flex-wrap: wrap; gap: .2rem .9rem; align-items: center; margin-bottom: .3rem; }
.alert, .missing { border: 2px solid #8a1226; border-left-width: .5rem; padding: .6rem .9rem; border-radius: .2rem; max-width: 52rem; }
.missing { border-color: #4c3f72; border-style: dashed; border-left-style: solid; margin-bottom: 1rem; }
.missing p, .missing ul { margin-bottom: .3rem; }
tr.governs th { border-left: 4px solid #8a1226; padding-left: .5rem; }
.utilisation { display: inline-flex; gap: .5rem; align-items: center; white-space: nowrap; }
.utilisation .number { min-width: 2.6rem; }
.source { font-size: .85rem; color: var(--quiet); min-width: 10rem; }
.place { min-width: 6.5rem; }
.place, .source { overflow-wrap: anywhere; }
.facts div, .record .plain { display: grid; grid-template-columns: minmax(9rem, 16rem) minmax(0, 1fr); gap: .1rem 1rem; padding: .15rem 0; }
dt { color: var(--quiet); }
dd { margin: 0; min-width: 0; overflow-wrap: anywhere; }
.record { margin: 0; }
.record .nested > dt { font-weight: 600; color: var(--text); margin-top: .6rem; }
.record .nested > dd { padding-left: .9rem; border-left: 2px solid var(--line); }
.cautions li { margin-bottom: .35rem; }
.strip { border: 2px solid var(--text); border-radius: .3rem; padding: .6rem .9rem; margin: 1rem 0 0; font-size: .95rem; max-width: none; }
table.restack tr.same th a { color: var(--quiet); }
table.restack td.reason { min-width: 15rem; }
table.restack .name { min-width: 7rem; overflow-wrap: anywhere; }
table.restack tr.first > * { border-top: 1px solid #8b96a1; }
@media screen and (max-width: 66em) {
  table.restack, .restack tr, .restack td, .restack th { display: block; }
  .restack tbody { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 22rem), 1fr)); gap: .8rem; }
  table.restack .name { min-width: 0; }
  .restack thead { position: absolute; left: -999rem; }
  table.restack tr { border: 1px solid #8b96a1; border-radius: .4rem; padding: .5rem .8rem; }
  table.restack tr.first > *, .restack th, .restack td { border: 0; padding: .15rem 0; }
  .restack td { display: grid; grid-template-columns: 7.2rem minmax(0, 1fr); gap: .5rem; overflow-wrap: anywhere; }
  .restack td::before { content: attr(data-label); color: var(--quiet); font-weight: 400; }
  table.restack tr.same th a { color: var(--link); }
  .restack .whole, .restack .status { white-space: normal; }
}
@media screen and (max-width: 760px) {
  h1 { font-size: 1.45rem; }
  h2 { margin-top: 1.5rem; padding-top: .6rem; }
  .strip { padding: .4rem .7rem; margin-top: .6rem; font-size: .9rem; }
  .key li { flex-direction: column; align-items: stretch; gap: 0; }
  .key .status { flex: none; }
  .facts div, .record .plain { grid-template-columns: 1fr; }
  .verdicts { display: flex; flex-direction: column; padding-left: 1.1rem; }
}
@media (forced-colors: active) {
  .picture svg, .utilisation svg, svg.icon { forced-color-adjust: none; background: #fff; }
}
@page { size: A4; margin: 14mm 12mm; @bottom-right { content: counter(page) " of " counter(pages); font: 8pt system-ui, sans-serif; } }
@media print {
  html { font-size: 9.5pt; }
  .page { max-width: none; padding: 0; }
  .skip, .back, .screen-only, nav.contents { display: none; }
  .on-paper { display: block; }
  details.case:not([open]), .given:has(> details:not([open])) { display: none; }
  details.case details::details-content { content-visibility: visible; block-size: auto; }
  @supports selector(::details-content) {
    .page:has(#print-evidence:is(:checked, :target)) :is(details.case, .given) { display: block; }
    .page:has(#print-evidence:is(:checked, :target)) details::details-content { content-visibility: visible; block-size: auto; }
    .page:has(#print-evidence:is(:checked, :target)) .left-out { display: none; }
  }
  summary { list-style: none; }
  .scroll { overflow: visible; }
  .picture.wide, .picture.matrix { min-width: 0 !important; }
  .picture.wide { max-width: none; }
  .picture.matrix svg:first-child { position: static; }
  .charts { grid-template-columns: 1fr 1fr; }
  .pair { grid-template-columns: 1fr; }
  .picture, tr, .alert, .missing, figure, nav.contents { break-inside: avoid; }
  h2, h3, h4, h5, summary, caption { break-after: avoid; }
  thead { display: table-header-group; }
  table { font-size: .88rem; width: 100%; }
  th, td { padding-right: .5rem; }
  table.restack { table-layout: fixed; }
  table.restack tr.same th .quiet { display: none; }
  table.restack thead th { white-space: normal; }
  table.restack .name, table.restack td.reason, .restack .reserved { min-width: 0; }
  .restack .whole, .restack .status { white-space: normal; }
  table.restack td { overflow-wrap: anywhere; }
  .restack .icon { width: 14px; height: 14px; }
  .restack tr > :nth-child(1), .restack tr > :nth-child(5), .restack tr > :nth-child(7) { width: 12.5%; }
  .restack tr > :nth-child(2), .restack tr > :nth-child(4) { width: 10.5%; }
  .restack tr > :nth-child(3) { width: 17%; }
  .restack tr > :last-child { padding-right: 0; }
  .pair tbody th { overflow-wrap: anywhere; min-width: 6rem; }
  dt { break-after: avoid; }
  .inputs table { width: auto; max-width: 100%; overflow-wrap: anywhere; }
  .inputs thead th { white-space: normal; }
  .source, .place { min-width: 4.5rem; }
  .utilisation { white-space: normal; flex-wrap: wrap; }
  .checks td > .flag { white-space: normal; }
  details.case { break-before: page; border: 0; }
  a { color: inherit; text-decoration: none; }
  * { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
}
`;
