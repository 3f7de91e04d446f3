const collator = new Intl.Collator('en', { numeric: true, sensitivity: 'variant' });

/** Compares file names as people number them: `2.jpg` before `10.jpg`; equal ones by code unit, so never a draw. */
export function naturalOrder(a: string, b: string): number {
  const order = collator.compare(a, b);
  if (order !== 0) return order;
  return a < b ? -1 : a > b ? 1 : 0;
}
