import { createHash } from 'node:crypto';
import { hostname } from 'node:os';

/** Tells machines apart that share a disk, without writing their names. */
export const machineHash = createHash('sha256').update(hostname()).digest('hex').slice(0, 8);

/** Whether a process of this number is there on this machine; one of another user counts. */
export function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code !== 'ESRCH';
  }
}
