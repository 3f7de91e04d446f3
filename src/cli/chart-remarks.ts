/** A sheet of A4 upright, mm (ISO 216). */
const sheetHeightMm = 297;

/** Letters and signs of the fonts that are carried for png and pdf (DejaVu Sans: its own list of scripts, from memory). */
const carried =
  /[\p{Script=Latin}\p{Script=Greek}\p{Script=Cyrillic}\p{Script=Armenian}\p{Script=Georgian}\p{Script=Arabic}\p{Script=Hebrew}\p{Script=Common}\p{Script=Inherited}]/u;
const picture = /\p{Emoji_Presentation}/u;

/** What to say beside a chart that was written: it is taller than a sheet, or its labels hold letters the fonts may lack. */
export function chartRemarks(file: string, svg: string, format: string): readonly string[] {
  const height = Number(/<svg [^>]*height="([\d.]+)mm"/.exec(svg)?.[1] ?? 0);
  const lines = [...svg.matchAll(/<text[^>]*>([^<]+)</gu)].map(([, line]) => line!);
  const lacking = [...new Set(lines.join(''))].filter((sign) => !carried.test(sign) || picture.test(sign));
  return [
    ...(height > sheetHeightMm
      ? [
          `${file} is ${Math.round(height)} mm tall: choose vials with --vials, or a greater --width-mm, to bring it onto a page.`,
        ]
      : []),
    ...(format !== 'svg' && lacking.length > 0
      ? [
          `${file}: the fonts for ${format} may have no ${lacking.slice(0, 6).join(' ')}${lacking.length > 6 ? ' …' : ''}: boxes stand in their place. An svg uses the fonts of the computer that shows it.`,
        ]
      : []),
  ];
}
