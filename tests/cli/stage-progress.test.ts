import { expect, it } from 'vitest';
import { StageLine } from '../../src/cli/stage-progress.ts';

/** A terminal that keeps what is written to it, and a clock that goes when told. */
function terminal(isTTY: boolean, columns: number): { stream: NodeJS.WriteStream; written: string[] } {
  const written: string[] = [];
  const write = (text: string): boolean => written.push(text) > 0;
  return { stream: { isTTY, columns, write } as unknown as NodeJS.WriteStream, written };
}

it.each([30, 60, 80, 120])('is one line of a terminal of %i columns: stage, frames, rate, time left', (columns) => {
  const { stream, written } = terminal(true, columns);
  let now = 0;
  const line = new StageLine(stream, () => now);
  for (let done = 0; done <= 4320; done += 60) {
    line.show({ stage: 'measuring', done, total: 4320 });
    now += 1000;
  }
  line.clear();
  expect(written.length).toBeGreaterThan(70);
  expect(written.filter((text) => text.includes('\n'))).toEqual([]);
  // one column is left free: a full line would break on some terminals
  expect(written.map((text) => text.replaceAll('\r', '').length).filter((length) => length > columns - 1)).toEqual([]);
  const middle = '\rmeasuring: 2160 of 4320 frames, 60 a second, 36 s left';
  expect(written.some((text) => text.startsWith(middle.slice(0, columns)))).toBe(true);
  expect(written.at(-1)).toMatch(/^\r +\r$/);
});

it('writes nothing where no terminal is', () => {
  const { stream, written } = terminal(false, 80);
  const line = new StageLine(stream, () => 0);
  line.show({ stage: 'measuring', done: 1, total: 2 });
  line.clear();
  expect(written).toEqual([]);
});
