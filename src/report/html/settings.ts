import type { Analysis } from '../../model/analysis.ts';
import type { LightCorrection } from '../../model/measurement.ts';
import type { Run, Transfer } from '../../model/run.ts';
import { formatDuration } from '../duration.ts';
import { formatSignificant } from '../round.ts';
import { judgedBefore } from '../words.ts';
import { bdi, html, type Markup } from './html.ts';

const lightWords: Readonly<Record<LightCorrection['basis'], string>> = {
  patches: 'followed on the neutral patches',
  background: 'followed on the background: there was no neutral patch',
  none: 'not followed: there was no neutral patch',
};

const transferWords: Readonly<Record<Transfer, string>> = {
  srgb: 'sRGB (the default)',
  tagged: 'as the file is tagged',
  bt709: 'BT.709',
};

/** What the run was told and how its film was read: all that somebody needs who does it again. */
export function settings(analysis: Analysis): Markup {
  const { run, measurement, result } = analysis;
  const { source } = measurement;
  const depth = `${source.width} × ${source.height} pixels, ${source.codec}, ${source.bitDepth} bit`;
  const items: readonly (readonly [string, string])[] = [
    [
      'read at',
      `${formatDuration(result.run.read_at_s)}, ${result.run.read_at_declared ? (judgedBefore(result) === null ? 'declared beforehand' : 'as declared') : 'the end: none was declared'}`,
    ],
    ['margin', marginWords(run, result.run.margin)],
    ['risk (alpha)', String(run.alpha)],
    ['rig', run.rig.name],
    ['film', source.kind === 'stills' ? `stills, ${depth}` : depth],
    ['times', timingWords(run)],
    ['tone curve', transferWords[run.transfer]],
    ...(source.conversion === null ? [] : [['colours', source.conversion] as const]),
    ['light', lightWords[measurement.light.basis]],
  ];
  return html`<div>
    <h3>Settings</h3>
    <dl>
      ${items.map(
        ([name, value]) =>
          html`<dt>${name}</dt>
            <dd>${bdi(value)}</dd>`,
      )}
    </dl>
  </div>`;
}

function marginWords({ margin }: Run, inExtent: number): string {
  const extent = `${formatSignificant(inExtent, 2)} of extent`;
  return margin.unit === 'extent' ? extent : `${margin.value} mol % of the sample, by its dose ${extent}`;
}

function timingWords({ timing }: Run): string {
  if (timing.kind === 'interval') return `a frame every ${Number(timing.intervalS.toPrecision(4))} s`;
  if (timing.kind === 'speed') return `${timing.speed} s for each second of playback`;
  const readings = timing.readings.length;
  return `the camera's clock${readings === 0 ? '' : `, set right by ${readings} ${readings === 1 ? 'reading' : 'readings'}`}`;
}
