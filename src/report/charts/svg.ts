import { escapeXml } from '../escape.ts';
import { isolate } from '../isolate.ts';
import type { ChartTheme } from './theme.ts';

/** Size of all text in charts, user units (px on screen). */
export const textSize = 13;
const fontFamily = "system-ui, -apple-system, 'Segoe UI', Roboto, 'Helvetica Neue', Arial, 'DejaVu Sans', sans-serif";

type Attributes = Readonly<Record<string, string | number | undefined>>;

/** A coordinate with at most two decimals: a hundredth of a pixel, and the same bytes on every machine. */
export function coordinate(value: number): number {
  return Math.round(value * 100) / 100 + 0;
}

/** An element; attribute values are escaped, numbers rounded, `undefined` left out. `content` is markup. */
export function element(name: string, attributes: Attributes, content = ''): string {
  const written = Object.entries(attributes)
    .filter(([, value]) => value !== undefined)
    .map(([key, value]) => ` ${key}="${typeof value === 'number' ? coordinate(value) : escapeXml(String(value))}"`)
    .join('');
  return content === '' ? `<${name}${written}/>` : `<${name}${written}>${content}</${name}>`;
}

export interface TextStyle {
  readonly fill: string;
  readonly anchor?: 'start' | 'middle' | 'end';
  readonly bold?: boolean;
  readonly rotate?: number;
}

/** One line of text, its baseline at `y`; right-to-left words in it keep their own order. */
export function text(x: number, y: number, content: string, style: TextStyle): string {
  return element(
    'text',
    {
      x,
      y,
      fill: style.fill,
      'text-anchor': style.anchor === 'start' ? undefined : style.anchor,
      'font-weight': style.bold === true ? 600 : undefined,
      transform: style.rotate === undefined ? undefined : `rotate(${style.rotate} ${coordinate(x)} ${coordinate(y)})`,
    },
    escapeXml(isolate(content)),
  );
}

export function line(x1: number, y1: number, x2: number, y2: number, stroke: string, more: Attributes = {}): string {
  return element('path', {
    d: `M${coordinate(x1)} ${coordinate(y1)}L${coordinate(x2)} ${coordinate(y2)}`,
    stroke,
    fill: 'none',
    ...more,
  });
}

/** The body of a chart and its size in user units. */
export interface Drawing {
  readonly width: number;
  readonly height: number;
  readonly body: string;
  /** What the picture shows, for people who cannot see it. */
  readonly description: string;
}

/** A drawing inside a page, named for screen readers. */
export function inlineSvg(drawing: Drawing, className = ''): string {
  return element(
    'svg',
    {
      viewBox: `0 0 ${coordinate(drawing.width)} ${coordinate(drawing.height)}`,
      width: drawing.width,
      height: drawing.height,
      role: 'img',
      'aria-label': drawing.description,
      class: className === '' ? undefined : className,
    },
    drawing.body,
  );
}

/** A file of its own: namespace, size in mm where asked, background of the theme, title. */
export function svgFile(drawing: Drawing, theme: ChartTheme, widthMm: number | null = null): string {
  const { width, height } = drawing;
  const mm = (size: number): string => `${coordinate(size)}mm`;
  const paper = element('rect', { width, height, fill: theme.paper });
  const body = element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      viewBox: `0 0 ${coordinate(width)} ${coordinate(height)}`,
      width: widthMm === null ? width : mm(widthMm),
      height: widthMm === null ? height : mm((widthMm * height) / width),
      'font-family': fontFamily,
      'font-size': textSize,
      role: 'img',
    },
    `${element('title', {}, escapeXml(drawing.description))}\n${paper}${drawing.body}`,
  );
  return `<?xml version="1.0" encoding="UTF-8"?>\n${body.replaceAll('><', '>\n<')}\n`;
}
