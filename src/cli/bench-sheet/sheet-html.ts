import { cautions, cameraChecklist, wasteNote } from '../../plan/cautions.ts';
import type { Plan } from '../../plan/plan.ts';
import { duration } from '../../plan/words.ts';
import { bdi, html, raw, type Markup } from '../../report/html/html.ts';
import { dosingTitle, recipeLine, roleMarks, sheetFacts } from './sheet-words.ts';

const style = `
@page { size: A4 portrait; margin: 9mm }
* { box-sizing: border-box }
body { font: 8.3pt/1.28 "DejaVu Sans", system-ui, sans-serif; color: #000; background: #fff; margin: 0 auto; max-width: 192mm; padding: 0; font-variant-numeric: tabular-nums }
h1 { font-size: 13pt; margin: 0 } h2 { font-size: 8.3pt; margin: 2.2mm 0 .7mm; border-bottom: .3mm solid #000 }
p { margin: .4mm 0 } ul { margin: 0; padding-left: 4mm } ul.box { list-style: none; padding: 0 } ul.box li::before { content: "☐ " }
table { border-collapse: collapse; width: 100% } th { text-align: left; font-weight: 700 }
table.list td, table.list th { border-bottom: .15mm solid #999; padding: .25mm 1mm } td.n { text-align: right; white-space: nowrap }
table.rack td { border: .3mm solid #000; text-align: center; vertical-align: top; padding: .5mm; height: 11mm; width: 8%; overflow-wrap: anywhere; font-size: 7pt; line-height: 1.1 } table.rack { table-layout: fixed }
td b { font-size: 11pt } td.empty { border-style: dashed; color: #777 } .columns { display: grid; grid-template-columns: 1fr 1fr; gap: 0 5mm }
.dense td, .dense th { font-size: 7pt; padding: 0 1mm; line-height: 1.2 }
@media screen { body { padding: 6mm } }
`;

/** The bench sheet: one A4 page in black and white, of its own. Everything untrusted is escaped. */
export function sheetHtml(plan: Plan): string {
  const listed = plan.vials.length > 24 ? 'list dense' : 'list';
  const page = html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta
          http-equiv="Content-Security-Policy"
          content="default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"
        />
        <title>Bench sheet: ${plan.name}</title>
        <style>
          ${raw(style)}
        </style>
      </head>
      <body>
        <h1>${bdi(plan.name)}</h1>
        <p>${sheetFacts(plan)}</p>
        <p>${recipeLine(plan)}</p>
        <h2>Rack as the camera sees it (code, place, what it is)</h2>
        <table class="rack">
          ${rackRows(plan)}
        </table>
        <p>${roleMarks}</p>
        <h2>${dosingTitle(plan)}</h2>
        <div class="columns">${halves(plan).map((half) => pipetting(half, listed))}</div>
        <div class="columns">
          <div>
            <h2>Working</h2>
            ${plan.working.map((line) => html`<p>${line}</p>`)}
          </div>
          <div>
            <h2>What this run can show</h2>
            ${plan.outlook.map((line) => html`<p>${line}</p>`)}
          </div>
        </div>
        ${
          plan.sheetWarnings.length === 0
            ? raw('')
            : html`<h2>Mind</h2>
                <ul>
                  ${plan.sheetWarnings.map((message) => html`<li>${message}</li>`)}
                </ul>`
        }
        <div class="columns">
          <div>
            <h2>Cautions</h2>
            <ul>
              ${[...cautions, wasteNote].map((line) => html`<li>${line}</li>`)}
            </ul>
          </div>
          <div>
            <h2>Camera</h2>
            <ul class="box">
              ${[...cameraChecklist, `Storage: ${plan.storage}`].map((line) => html`<li>${line}</li>`)}
            </ul>
          </div>
        </div>
      </body>
    </html> `;
  return page.markup;
}

function rackRows({ rack, vials, materials }: Plan): readonly Markup[] {
  return Array.from({ length: rack.rows }, (_, row) => {
    const cells = Array.from({ length: rack.columns }, (__, column) => {
      const vial = vials.find((one) => one.row === row && one.column === column);
      if (vial === undefined) return html`<td class="empty">–</td>`;
      const { material } = materials[vial.material]!;
      return html`<td>
        <b>${vial.code}</b> ${vial.region} ${material.role === 'sample' ? '' : material.role.slice(0, 3)}<br />${bdi(vial.shown)}
      </td>`;
    });
    return html`<tr>
      ${cells}
    </tr>`;
  });
}

function halves({ vials }: Plan): readonly Plan['vials'][] {
  const middle = Math.ceil(vials.length / 2);
  return [vials.slice(0, middle), vials.slice(middle)];
}

function pipetting(vials: Plan['vials'], className: string): Markup {
  const rows = vials.map(
    (vial) =>
      html`<tr>
        <td>☐ <b>${vial.code}</b></td>
        <td>${vial.region}</td>
        <td>${bdi(vial.shown)}</td>
        <td class="n">${vial.pipetting}</td>
        <td class="n">${clock(vial.addedRunS)}</td>
      </tr>`,
  );
  return html`<table class="${className}">
    <thead>
      <tr>
        <th>vial</th>
        <th>place</th>
        <th>what</th>
        <th>sample</th>
        <th>reagent at</th>
      </tr>
    </thead>
    <tbody>
      ${rows}
    </tbody>
  </table>`;
}

/** `3:45` minutes and seconds on the run's clock. */
const clock = (seconds: number): string =>
  seconds >= 36_000
    ? duration(seconds)
    : `${Math.floor(seconds / 60)}:${String(Math.round(seconds % 60)).padStart(2, '0')}`;
