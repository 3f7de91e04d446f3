/** Labels that must be shown and never run: markup, a formula, emoji, right-to-left text, 200 characters with and without a space. */
export const hostileLabels: readonly string[] = [
  '<img src=x onerror="window.ran=1"><script>window.ran=1</script>',
  '=HYPERLINK("http://x","y") 🧪 مرحبا بالعالم " onload="window.ran=1',
  `</script></title></style>${'long '.repeat(35)}`,
  'مرحبا بالعالم عينة رقم ٣',
  'W'.repeat(200),
  '+1+1',
  '日本語のとても長いラベル 👩‍🔬 @SUM(A1)',
  `it's "quoted" & <b>bold</b>`,
];
