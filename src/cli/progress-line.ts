/** A line on a terminal that is written over as work goes on; silent where stderr is no terminal. */
export interface ProgressLine {
  readonly show: (done: number, all: number) => void;
  readonly clear: () => void;
}

/** Reads like `312 of 400 frames made`; written at most once per percent. */
export function progressLine(what: string, stream: NodeJS.WriteStream = process.stderr): ProgressLine {
  let shown = -1;
  if (!stream.isTTY) return { show: () => undefined, clear: () => undefined };
  return {
    show: (done, all) => {
      const percent = Math.floor((100 * done) / all);
      if (percent === shown) return;
      shown = percent;
      stream.write(`\r${done} of ${all} ${what}`);
    },
    clear: () => {
      if (shown >= 0) stream.write(`\r${' '.repeat(60)}\r`);
    },
  };
}
