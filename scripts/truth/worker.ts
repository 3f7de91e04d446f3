/** Child process of run.ts: one task in, one score out, until the parent says nothing more. */
import { oneRun, type Task } from './one-run.ts';

process.on('message', (task: Task) => {
  oneRun(task).then(
    (score) => process.send!({ score }),
    (error: unknown) =>
      process.send!({ failed: error instanceof Error ? (error.stack ?? error.message) : String(error) }),
  );
});
