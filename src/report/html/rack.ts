import type { Analysis } from '../../model/analysis.ts';
import type { ResultVial } from '../../model/result.ts';
import type { Shift } from '../../model/shift.ts';
import type { ChartRun } from '../chart-data.ts';
import { coordinate, element, text } from '../charts/svg.ts';
import { formatDuration } from '../duration.ts';
import { formatFixed, unknown } from '../round.ts';
import { stripSteps, type Strip } from '../strip.ts';
import { roleWords } from '../words.ts';
import { outcomeIcon } from './answer.ts';
import { bdi, html, nothing, raw, type Markup } from './html.ts';
import { rackPlaces } from './rack-places.ts';

/** The rack as it stood, every vial holding its own colours over time, with the camera's picture of the chosen time. */
export function rackSection(analysis: Analysis, run: ChartRun, strips: readonly Strip[], toS: number): Markup {
  const regions = run.vials.map(({ result }) => analysis.run.rig.regions.find(({ id }) => id === result.region));
  const known = regions.filter((region) => region !== undefined);
  const { places, columns, rows } = rackPlaces(known);
  const start = Math.min(toS, run.result.run.read_at_s);
  const vials = run.vials.map((vial, index) => {
    const place = places[regions[index] === undefined ? -1 : known.indexOf(regions[index])];
    if (place === undefined) return nothing;
    const style = `left:${coordinate((100 * place.column) / columns)}%;top:${coordinate((100 * place.row) / rows)}%;width:${coordinate(100 / columns)}%`;
    return html`<li class="vial" style="${style}">
      ${vialBody(vial.result, strips[index]!, toS, start / toS)}<span class="caption"
        >${vial.sample === null ? nothing : outcomeIcon(vial.sample.outcome)}<b>${vial.result.region}</b>
        ${nowOutput(strips[index]!, start / toS)}</span
      ><span class="label" title="${vial.result.label}">${bdi(vial.result.label)}</span>
    </li>`;
  });
  return html`<section class="rack-section" aria-labelledby="rack">
    <h2 id="rack">The rack</h2>
    <div class="bench">
      <div>
        <ul class="rack${rows > 2 ? ' deep' : ''}" style="--rows:${rows};--columns:${coordinate(columns)}">
          ${vials}
        </ul>
        <div class="scrub">
          <label for="time">Time since dosing</label
          ><input id="time" type="range" min="0" max="${toS}" value="${start}" step="any" /><output
            id="time-said"
            for="time"
            >${formatDuration(start)}</output
          >
        </div>
        <p class="note">
          Each vial holds the colours the camera saw in it: time runs to the right, from dosing to
          ${formatDuration(toS)}. Hatched: not readable. Under each vial: its extent at
          <span id="at-said">${formatDuration(start)}</span> (line).
        </p>
      </div>
      ${stillFigure(analysis)}
    </div>
  </section>`;
}

/** Extent and colour at a share of the axis; the script sets it anew when another time is chosen. */
function nowOutput({ extent, colour }: Strip, part: number): Markup {
  const step = Math.round(part * (stripSteps - 1));
  const value = extent[step] ?? null;
  return html`<output class="now" style="--seen:${colour[step] ?? 'none'}"
    >${value === null ? unknown : formatFixed(value, 2)}</output
  >`;
}

function vialBody(vial: ResultVial, strip: Strip, toS: number, part: number): Markup {
  const degrees = (value: number | null): string => (value === null ? 'no hue' : `${formatFixed(value, 0)}°`);
  const description = `${vial.region} ${vial.label}, ${roleWords[vial.role]}: hue from ${degrees(vial.hue.first_deg)} to ${degrees(vial.hue.last_deg)} over ${formatDuration(toS)}`;
  return html`<span class="glass"
    ><svg role="img" aria-label="${description}" viewBox="0 0 ${stripSteps} 1" preserveAspectRatio="none">
      ${raw(stripBody(strip))}</svg
    ><i class="cursor" style="--at:${coordinate(part)}"></i
  ></span>`;
}

/**
 * Runs of one colour become one box, which reaches under the next, so that no seam shows on paper; gaps stay open so that
 * the hatching of the page shows through.
 */
function stripBody({ colour }: Strip): string {
  const parts: string[] = [];
  let from = 0;
  for (let step = 1; step <= colour.length; step += 1) {
    if (step < colour.length && colour[step] === colour[from]) continue;
    const fill = colour[from] ?? null;
    const end = (colour[step] ?? null) === null ? step : step + 1;
    if (fill !== null) parts.push(element('path', { d: `M${from} 0H${end}V1H${from}z`, fill }));
    from = step;
  }
  return parts.join('');
}

function stillFigure(analysis: Analysis): Markup {
  const { stills } = analysis.measurement;
  const last = stills.at(-1);
  if (last === undefined) return nothing;
  const { width, height } = analysis.run.rig.frame;
  const size = (13 / 400) * width;
  const outlines = analysis.run.rig.regions.map((region) => {
    const stroke = { fill: 'none', stroke: '#fff', 'stroke-width': width / 300 };
    const shape =
      region.shape === 'rect'
        ? element('rect', { x: region.x, y: region.y, width: region.width, height: region.height, ...stroke })
        : region.shape === 'ellipse'
          ? element('ellipse', { cx: region.cx, cy: region.cy, rx: region.rx, ry: region.ry, ...stroke })
          : element('polygon', { points: region.points.flat().map(coordinate).join(' '), ...stroke });
    const [x, y] = topLeft(region);
    return (
      shape +
      `<g font-size="${coordinate(size)}" stroke="#000" stroke-width="${coordinate(size / 8)}" paint-order="stroke">${text(x, y - size * 0.3, region.id, { fill: '#fff' })}</g>`
    );
  });
  const images = stills.map(
    (still, index) =>
      html`<img
        src="data:image/jpeg;base64,${still.jpegBase64}"
        width="${still.width}"
        height="${still.height}"
        data-run-s="${coordinate(still.timeRunS)}"
        ${still.shift === undefined ? nothing : raw(` data-moved="${movedBy(still.shift, width, height)}"`)}
        alt="The rack as the camera saw it at ${formatDuration(still.timeRunS)} on the run's clock"
        ${index === stills.length - 1 ? nothing : raw(' hidden')}
      />`,
  );
  return html`<figure class="still">
    <div>${images}<svg viewBox="0 0 ${width} ${height}" aria-hidden="true"><g${last.shift === undefined ? nothing : raw(` transform="${movedBy(last.shift, width, height)}"`)}>${raw(outlines.join(''))}</g></svg></div>
    <figcaption class="note">
      The camera's picture nearest to the chosen time:
      <output id="still-said">${formatDuration(last.timeRunS)}</output> on the run's clock.
    </figcaption>
  </figure>`;
}

/** The transform that brings the rig's places to where a picture shows them: a similarity about the centre of the frame. */
function movedBy({ dx, dy, rotation, scale }: Shift, width: number, height: number): string {
  const [x, y] = [width / 2, height / 2];
  const number = (value: number): string => String(Number(value.toFixed(4)));
  const degrees = (rotation * 180) / Math.PI;
  return `translate(${number(x + dx)} ${number(y + dy)}) rotate(${number(degrees)}) scale(${number(scale)}) translate(${-x} ${-y})`;
}

function topLeft(region: Analysis['run']['rig']['regions'][number]): readonly [number, number] {
  if (region.shape === 'rect') return [region.x, region.y];
  if (region.shape === 'ellipse') return [region.cx - region.rx, region.cy - region.ry];
  return [Math.min(...region.points.map(([x]) => x)), Math.min(...region.points.map(([, y]) => y))];
}
