/** The HTML sheet's style: black on white, one column on a phone, two on paper, a print that fits its page. */
export const sheetStyle = `* { box-sizing: border-box; }
html { font: 16px/1.4 system-ui, sans-serif; color: #000; background: #fff; }
body { margin: 0 auto; padding: 12px; max-width: 1000px; overflow-wrap: anywhere; }
header { display: flex; flex-wrap: wrap; gap: 12px; justify-content: space-between; }
header > div { flex: 1 1 260px; min-width: 0; }
.qr { width: 130px; height: 130px; flex: none; }
.kind { margin: 0; font-weight: bold; }
h1 { margin: 0 0 6px; font-size: 1.6em; line-height: 1.15; }
h2 { margin: 0 0 4px; font-size: 1.12em; }
p { margin: 0 0 5px; }
.columns > section, main > section { border-top: 2px solid #000; padding: 4px 0 10px; break-inside: avoid; }
dl { display: grid; grid-template-columns: minmax(4.5em, max-content) minmax(0, 1fr); gap: 1px 10px; margin: 0 0 5px; }
dt { color: #444; }
dd { margin: 0; }
.blank { display: inline-block; width: 7em; max-width: 60%; height: 1em; border-bottom: 1px solid #000; }
ul { margin: 0 0 5px; padding-left: 1.2em; }
.steps { list-style: none; padding: 0; }
.steps li { position: relative; padding-left: 1.6em; margin-bottom: 3px; }
.steps li::before { content: ""; position: absolute; left: 0; top: 0.25em; width: 0.85em; height: 0.85em; border: 1.3px solid #000; }
.verdict { border: 1px solid #000; padding: 6px 10px; margin: 8px 0; }
.verdict.stop { border-width: 4px; font-weight: bold; }
.verdict.stop h2 { font-size: 1.9em; line-height: 1.1; }
.hint { font-weight: normal; }
.rest, .instead, .undrawn { display: none; }
.schematic { display: block; width: 100%; max-width: 460px; height: auto; overflow: visible; }
.schematic text { font-family: system-ui, sans-serif; }
table { width: 100%; border-collapse: collapse; margin: 0 0 6px; }
th, td { border: 1px solid #000; padding: 1px 4px; text-align: left; height: 1.6em; overflow-wrap: break-word; }
[data-name="file"] { overflow-wrap: anywhere; }
tbody th { font-weight: normal; }
footer { border-top: 2px solid #000; padding-top: 4px; }
code { font: inherit; }
@media screen and (max-width: 699px) {
  table:not(.small) thead { display: none; }
  table:not(.small), table:not(.small) tbody, table:not(.small) tr, table:not(.small) th, table:not(.small) td { display: block; }
  table:not(.small) tr { border: 1px solid #000; margin-bottom: 6px; padding: 3px 6px; }
  table:not(.small) th, table:not(.small) td { border: 0; padding: 0 0 0 10.5em; position: relative; height: auto; min-height: 1.4em; }
  table:not(.small) tbody th { font-weight: bold; }
  table:not(.small) [data-name]::before { content: attr(data-name); position: absolute; left: 0; color: #444; font-weight: normal; }
  table:not(.small) td:empty::after { content: ""; display: block; width: 7em; height: 1.2em; border-bottom: 1px solid #000; }
}
@media (min-width: 700px), print {
  .columns { columns: 2; column-gap: 22px; }
  header dl { grid-template-columns: max-content minmax(0, 1fr) max-content minmax(0, 1fr); }
}
@media print {
  html { font-size: 6.8pt; line-height: 1.16; }
  body { padding: 0; max-width: none; }
  .columns { column-gap: 6mm; }
  .qr { width: 27mm; height: 27mm; margin: -2mm -2mm 0 0; }
  h1 { font-size: 15pt; display: -webkit-box; -webkit-line-clamp: 2; -webkit-box-orient: vertical; overflow: hidden; }
  header { flex-wrap: nowrap; gap: 4mm; }
  .verdict { padding: 1.2mm 2.5mm; margin: 1mm 0 1.5mm; }
  .verdict.stop { border-width: 0.9mm; }
  .columns > section, main > section { border-top-width: 0.35mm; padding: 0.6mm 0 1.2mm; }
  .steps li { margin-bottom: 0.3mm; }
  p, dl, ul, table { margin-bottom: 0.6mm; }
  .verdict > :last-child { margin-bottom: 0; }
  .run p { display: inline; }
  .schematic { width: 66mm; margin: 0 auto; }
  .turned { line-height: 1.08; }
  .turned .schematic, .many .spare { display: none; }
  .turned .undrawn, .many .instead { display: block; }
  .turned th, .turned td { height: auto; }
  .columns:last-child > section { break-inside: auto; }
  h2 { break-after: avoid; margin-bottom: 0.3mm; }
  li, p, dt, dd, table, .schematic { break-inside: avoid; }
  .steps li::before { top: 0.15em; }
  footer { display: flex; justify-content: space-between; border-top-width: 0.35mm; font-size: 6.8pt; }
  .more, .long .hint { display: none; }
  .rest { display: block; margin: 0; }
  th, td { height: 1.2em; padding: 0 1.2mm; }
}
`;
