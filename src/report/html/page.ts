import type { Analysis } from '../../model/analysis.ts';
import { timeAxis } from '../chart-data.ts';
import { formatDuration } from '../duration.ts';
import { jsonForScript } from '../escape.ts';
import { runOfAnalysis } from '../run-of-analysis.ts';
import { stripOf, stripSteps, type Strip } from '../strip.ts';
import { judgedBefore, outcomeCount } from '../words.ts';
import { againstSection } from './against.ts';
import { answerSection } from './answer.ts';
import { assumedSection } from './assumed.ts';
import { curvesSection } from './curves.ts';
import { bdi, html, raw, type Markup } from './html.ts';
import { headline } from './headline.ts';
import { hueSection } from './hue.ts';
import { rackSection } from './rack.ts';
import { script } from './script.ts';
import { style } from './style.ts';
import { trustBox } from './trust.ts';

/** No source of anything but this file: nothing is fetched, nothing is sent. */
const policy =
  "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

/** The whole report as one self-contained page. */
export function reportPage(analysis: Analysis): string {
  const { result } = analysis;
  const run = runOfAnalysis(analysis);
  const axis = timeAxis([run], 'linear');
  const strips = analysis.result.vials.map((vial, index) =>
    stripOf(
      analysis.series[index]!,
      analysis.measurement.vials.find(({ id }) => id === vial.region),
      axis.toS,
    ),
  );
  const page = html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta http-equiv="Content-Security-Policy" content="${policy}" />
        <title>${result.run.name}: ${outcomeCount(result)}</title>
        <style>
          ${raw(style)}
        </style>
      </head>
      <body>
        <header class="head">
          <div>
            <h1>${bdi(result.run.name)}</h1>
            <p class="soft">${facts(analysis)}</p>
            ${headline(result)}
          </div>
          ${trustBox(result)}
        </header>
        <main>
          <div class="scroll" tabindex="0" role="region" aria-label="Outcomes">${answerSection(result)}</div>
          ${rackSection(analysis, run, strips, axis.toS)} ${curvesSection(run, axis, analysis.run.events)}
          ${againstSection(run)} ${hueSection(analysis, run, axis)} ${assumedSection(analysis, analysis)}
        </main>
        <script type="application/json" id="data">
          ${scrubData(analysis, strips, axis.toS)}
        </script>
        <script>
          ${raw(script)};
        </script>
      </body>
    </html> `;
  return page.markup;
}

function facts({ result }: Analysis): string {
  // who looks and then declares another time has not declared it beforehand
  const declared = judgedBefore(result) === null ? 'declared beforehand' : 'as declared';
  const { run } = result;
  const { used, read } = run.frames;
  return [
    run.reaction,
    `${formatDuration(run.duration_s)} filmed`,
    `${used} of ${read} frames used`,
    `read at ${formatDuration(run.read_at_s)} (${run.read_at_declared ? declared : 'the end: none was declared'})`,
    ...(run.glance ? ['a quick glance, not the full reading'] : []),
  ].join(' · ');
}

function scrubData(analysis: Analysis, strips: readonly Strip[], toS: number): Markup {
  const added = analysis.series.map(({ addedRunS }) => addedRunS).sort((first, second) => first - second);
  return raw(
    jsonForScript({
      steps: stripSteps,
      toS,
      addedRunS: added[Math.floor(added.length / 2)] ?? 0,
      vials: strips.map(({ colour, extent }) => ({
        colour: colour.map((hex) => (hex === null ? null : hex.slice(1))),
        extent: extent.map((value) => (value === null ? null : Math.round(value * 100) / 100)),
      })),
    }),
  );
}
