import { formatDuration } from '../report/duration.ts';

export interface StageProgress {
  readonly stage: string;
  readonly done: number;
  /** `null` unknown. */
  readonly total: number | null;
}

/** Times a second that the line is written at most. */
const writesPerSecond = 8;

/** One line on a terminal that says stage, frames, rate and time left; silent elsewhere. */
export class StageLine {
  readonly #stream: NodeJS.WriteStream;
  readonly #now: () => number;
  #stage = '';
  #startedMs = 0;
  #writtenMs = -Infinity;
  #width = 0;

  constructor(stream: NodeJS.WriteStream = process.stderr, now: () => number = () => performance.now()) {
    this.#stream = stream;
    this.#now = now;
  }

  show(progress: StageProgress): void {
    if (!this.#stream.isTTY) return;
    const now = this.#now();
    if (progress.stage !== this.#stage) {
      this.#stage = progress.stage;
      this.#startedMs = now;
      this.#writtenMs = -Infinity;
    }
    const isLast = progress.total !== null && progress.done >= progress.total;
    if (!isLast && now - this.#writtenMs < 1000 / writesPerSecond) return;
    this.#writtenMs = now;
    this.#write(stageWords(progress, (now - this.#startedMs) / 1000));
  }

  clear(): void {
    if (this.#width > 0) this.#stream.write(`\r${' '.repeat(this.#width)}\r`);
    this.#width = 0;
  }

  #write(text: string): void {
    const line = text.slice(0, Math.max(20, (this.#stream.columns ?? 80) - 1));
    this.#stream.write(`\r${line.padEnd(this.#width)}`);
    this.#width = line.length;
  }
}

/** `measuring: 312 of 1440 frames, 85 a second, 13 s left` */
export function stageWords({ stage, done, total }: StageProgress, elapsedS: number): string {
  if (done === 0 && total === null) return stage;
  const count = total === null ? `${done} frames` : `${done} of ${total} frames`;
  if (elapsedS < 1 || done === 0) return `${stage}: ${count}`;
  const rate = done / elapsedS;
  const left = total === null ? '' : `, ${formatDuration((total - done) / rate)} left`;
  return `${stage}: ${count}, ${rate < 10 ? rate.toFixed(1) : Math.round(rate)} a second${left}`;
}
