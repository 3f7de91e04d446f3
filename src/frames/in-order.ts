/** Runs `work` on items, `width` at a time, and gives the results in order; at most `width` wait. */
export async function* inOrder<T, R>(
  items: Iterable<T>,
  width: number,
  work: (item: T) => Promise<R>,
): AsyncGenerator<R> {
  const running: Promise<R>[] = [];
  for (const item of items) {
    const result = work(item);
    result.catch(() => undefined); // Reported when its turn comes.
    running.push(result);
    if (running.length >= width) yield await running.shift()!;
  }
  for (const result of running) yield await result;
}
