import type { ResultColourPair, ResultMatch } from '../../model/result.ts';
import { hexOfLab, labWords } from '../lab-colour.ts';
import { formatFixed } from '../round.ts';
import { isolate } from '../isolate.ts';
import { element, text, type Drawing } from './svg.ts';
import { fitText } from './text-width.ts';
import type { ChartTheme } from './theme.ts';

const cell = { width: 104, height: 66 } as const;
const head = { width: 236, height: 92 } as const;
const legendHeight = 34;

/** The verdict said in words and by sign, so that no colour is needed to read it. */
const signs: Readonly<Record<ResultColourPair['verdict'], string>> = {
  agrees: '= alike',
  differs: '≠ apart',
  'cannot tell': '? open',
};

/** Mutual distances of the references: chips as the camera saw them, both colours side by side in every cell. */
export function panelChart(match: ResultMatch, theme: ChartTheme): Drawing {
  const names = [...new Set(match.panel.flatMap(({ first, second }) => [first, second]))];
  const units = match.units.filter(
    ({ role, name }) => role !== 'sample' && (names.length === 0 || names.includes(name)),
  );
  const width = head.width + Math.max(1, units.length) * cell.width + 10;
  const height = head.height + units.length * cell.height + legendHeight;
  const parts: string[] = [];
  const chip = (x: number, y: number, w: number, h: number, fill: string): string =>
    element('rect', { x, y, width: w, height: h, fill, stroke: theme.rule });
  units.forEach((unit, index) => {
    const hex = hexOfLab(unit.lab);
    const x = head.width + index * cell.width;
    const y = head.height + index * cell.height;
    parts.push(chip(x + 6, 22, cell.width - 12, 44, hex));
    parts.push(
      text(x + cell.width / 2, 14, fitText(unit.name, cell.width - 8, true), {
        fill: theme.ink,
        anchor: 'middle',
        bold: true,
      }),
    );
    parts.push(text(x + cell.width / 2, 82, labWords(unit.lab), { fill: theme.soft, anchor: 'middle' }));
    parts.push(chip(2, y + 6, 60, cell.height - 16, hex));
    parts.push(text(72, y + 24, fitText(unit.name, head.width - 84, true), { fill: theme.ink, bold: true }));
    parts.push(text(72, y + 42, `Lab ${labWords(unit.lab)}`, { fill: theme.soft }));
  });
  units.forEach((row, at) =>
    units.forEach((column, to) => {
      const x = head.width + to * cell.width;
      const y = head.height + at * cell.height;
      parts.push(element('rect', { x, y, width: cell.width, height: cell.height, fill: 'none', stroke: theme.hair }));
      const pair = match.panel.find(
        ({ first, second }) =>
          (first === row.name && second === column.name) || (first === column.name && second === row.name),
      );
      if (at === to || pair === undefined) return;
      parts.push(element('rect', { x: x + 8, y: y + 6, width: 44, height: 20, fill: hexOfLab(row.lab) }));
      parts.push(element('rect', { x: x + 52, y: y + 6, width: 44, height: 20, fill: hexOfLab(column.lab) }));
      parts.push(
        text(x + cell.width / 2, y + 42, distanceWords(pair), {
          fill: theme.ink,
          anchor: 'middle',
          bold: pair.verdict !== 'differs',
        }),
      );
      parts.push(
        text(x + cell.width / 2, y + 58, signs[pair.verdict], {
          fill: theme.ink,
          anchor: 'middle',
          bold: pair.verdict !== 'differs',
        }),
      );
    }),
  );
  parts.push(
    text(2, height - 10, 'Number: CIEDE2000 of the end colours. Lab: CIELAB under D65.', { fill: theme.soft }),
  );
  const open = match.panel
    .filter(({ verdict }) => verdict !== 'differs')
    .map(({ first, second }) => `${isolate(first)} and ${isolate(second)}`);
  return {
    width,
    height,
    body: parts.join(''),
    description: `Colours of ${units.length} references and their mutual distances. ${open.length === 0 ? 'All can be told apart' : `Not told apart: ${open.join('; ')}`}.`,
  };
}

const distanceWords = ({ final }: ResultColourPair): string => formatFixed(final.value, final.value < 10 ? 1 : 0);
