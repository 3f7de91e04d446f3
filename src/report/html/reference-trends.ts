import { extent, group } from 'd3-array';
import type { ReferenceChart } from '../../model/overview.ts';
import { coordinate, element, inlineSvg, line, text, type Drawing } from '../charts/svg.ts';
import { fitText, textWidth } from '../charts/text-width.ts';
import { pageTheme } from '../charts/theme.ts';
import { formatSignificant } from '../round.ts';
import { bdi, html, nothing, raw, type Markup } from './html.ts';

/** Rates of the references over the runs: individuals chart and exponentially weighted mean, one drawing a reference. */
export function trendsSection(charts: readonly ReferenceChart[]): Markup {
  if (charts.length === 0) return nothing;
  return html`<section aria-labelledby="trends">
    <h2 id="trends">Rates of references from run to run</h2>
    <p class="note">
      Initial rate in extent per hour, in the order of the runs' names. Grey: centre and 3 standard deviations from
      moving ranges (individuals chart); line: exponentially weighted mean, dashed its limits (NIST/SEMATECH e-Handbook
      6.3.2). A point outside any of them is ringed.
    </p>
    <ul class="trends">
      ${charts.flatMap((chart) =>
        chart.limits === null
          ? []
          : [
              html`<li>
                <h3>${bdi(chart.label)}</h3>
                ${trendWords(chart.trend)} ${raw(inlineSvg(trendDrawing(chart, chart.limits)))}
              </li>`,
            ],
      )}
    </ul>
    ${notDrawn(charts)}
  </section>`;
}

/** Whether a rate wanders in one direction over the runs. */
function trendWords(trend: ReferenceChart['trend']): Markup {
  if (trend === null) return nothing;
  const [low, high] = trend.ci95;
  const percent = (share: number): string => formatSignificant(100 * Math.abs(share), 2);
  if (low <= 0 && high >= 0) {
    return html`<p class="note">No trend over the runs (95 %: -${percent(low)} to +${percent(high)} % a run).</p>`;
  }
  const [least, most] = low > 0 ? [low, high] : [high, low];
  return html`<p>
    ${low > 0 ? 'Rises' : 'Falls'} by ${percent(trend.per_run)} % a run (95 %: ${percent(least)} to ${percent(most)} %;
    median slope after Theil and Sen):
    ${low > 0 ? 'a warmer room, or stronger reagent' : 'an ageing reagent, or a cooler room'}.
  </p>`;
}

/** References without limits yet, by the reason, said once. */
function notDrawn(charts: readonly ReferenceChart[]): Markup {
  const without = charts.filter(({ limits }) => limits === null);
  if (without.length === 0) return nothing;
  const byReason = [...group(without, ({ reason }) => reason ?? '')];
  return html`<ul class="refused">
    ${byReason.map(
      ([reason, alike]) =>
        html`<li>
          <b>Not drawn</b> (${reason}): ${alike.map(({ label }, at) => html`${at === 0 ? '' : ', '}${bdi(label)}`)}.
        </li>`,
    )}
  </ul>`;
}

const size = { width: 590, height: 176, left: 52, right: 8, top: 10, bottom: 30 };
const perHour = 3600;

function trendDrawing({ label, points }: ReferenceChart, limits: NonNullable<ReferenceChart['limits']>): Drawing {
  const [low = 0, high = 1] = extent([
    ...points.map(({ rate }) => rate),
    ...[limits.lower, limits.upper, limits.ewma_lower, limits.ewma_upper].filter((value) => value !== null),
  ]);
  // Limits of a rate may come out below zero, where no rate can be; the axis ends there.
  const floor = points.every(({ rate }) => rate >= 0) ? Math.max(0, low) : low;
  const span = high - floor || 1;
  const right = size.width - size.right;
  const step = (right - size.left - 20) / Math.max(1, points.length - 1);
  const x = (at: number): number => size.left + 10 + step * at;
  const y = (value: number): number =>
    size.top + (size.height - size.top - size.bottom) * (1 - (Math.max(floor, value) - floor) / span);
  const dashed = { 'stroke-dasharray': '4 3' };
  const across = (value: number | null, style: Readonly<Record<string, string>>): string =>
    value === null || value < floor ? '' : line(size.left, y(value), right, y(value), pageTheme.rule, style);
  const levels = [limits.upper, limits.centre, ...(limits.lower >= floor ? [limits.lower] : [floor])];
  const mean = points.flatMap(({ ewma }, at) => (ewma === null ? [] : [`${coordinate(x(at))} ${coordinate(y(ewma))}`]));
  return {
    ...{ width: size.width, height: size.height },
    description: `Rate of ${label} over ${points.length} runs, extent per hour; centre ${formatSignificant(perHour * limits.centre, 2)}; outside its limits: ${outsideWords(points)}.`,
    body: [
      element('rect', {
        ...{ x: size.left, y: y(limits.upper), width: right - size.left },
        ...{ height: y(limits.lower) - y(limits.upper), fill: pageTheme.faint },
      }),
      across(limits.centre, {}),
      across(limits.ewma_lower, dashed),
      across(limits.ewma_upper, dashed),
      mean.length === 0 ? '' : element('path', { d: `M${mean.join('L')}`, fill: 'none', stroke: pageTheme.ink }),
      ...points.map(({ rate, outside }, at) =>
        [
          element('circle', { cx: x(at), cy: y(rate), r: 3, fill: pageTheme.ink }),
          outside.length === 0
            ? ''
            : element('circle', { cx: x(at), cy: y(rate), r: 7, fill: 'none', stroke: pageTheme.ink }),
        ].join(''),
      ),
      ...levels.map((value) =>
        text(size.left - 6, y(value) + 4, formatSignificant(perHour * value, 2), {
          fill: pageTheme.soft,
          anchor: 'end',
        }),
      ),
      ...runNames(points, x, step),
    ].join(''),
  };
}

function outsideWords(points: ReferenceChart['points']): string {
  const names = points.filter(({ outside }) => outside.length > 0).map(({ run }) => run);
  return names.length === 0 ? 'none' : names.join(', ');
}

/** Names of the runs below their points: of as many as have room, the first and the last always. */
function runNames(points: ReferenceChart['points'], x: (at: number) => number, step: number): readonly string[] {
  const widest = Math.min(110, Math.max(...points.map(({ run }) => textWidth(run) + 10)));
  const every = Math.max(1, Math.ceil(widest / Math.max(1, step)));
  const last = points.length - 1;
  return points.flatMap(({ run }, at) => {
    if (at !== last && (at % every !== 0 || last - at < every)) return [];
    const anchor = at === 0 ? 'start' : at === last ? 'end' : 'middle';
    const place = x(at) + (at === 0 ? -10 : at === last ? 10 : 0);
    return [text(place, size.height - 10, fitText(run, widest), { fill: pageTheme.soft, anchor })];
  });
}
