/** A label of any length as one that leaves room for others: whole characters (grapheme clusters), then an ellipsis. */
export function clipLabel(label: string, most: number): string {
  const characters = [...new Intl.Segmenter('en', { granularity: 'grapheme' }).segment(label)];
  if (characters.length <= most) return label;
  return `${characters
    .slice(0, most - 1)
    .map(({ segment }) => segment)
    .join('')}…`;
}
