/** Seconds of a local date and time as if it were UTC; NaN for none that there is, such as 30 February or all zeros. */
export function naiveSeconds(dateTime: string): number {
  const [date = '', time = ''] = dateTime.split(/[ T]/);
  const written = `${date.replaceAll(':', '-')}T${time}`;
  const milliseconds = Date.parse(`${written}Z`);
  // Date.parse turns 30 February into a day of March.
  const real = Number.isFinite(milliseconds) && new Date(milliseconds).toISOString().startsWith(written.slice(0, 10));
  return real ? milliseconds / 1000 : NaN;
}
