import { spawn } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';

export interface Measured {
  readonly wallS: number;
  /** Largest sum of resident memory over the process and its descendants, MB; `null` where /proc is absent. */
  readonly peakTreeMb: number | null;
  readonly code: number;
  readonly stderr: string;
}

/** Memory is looked at this often, milliseconds: shorter peaks may be missed. */
const lookEveryMs = 50;

/** Runs a program to its end and measures wall time and the memory of the process tree (Linux). */
export async function measureProcess(program: string, arguments_: readonly string[]): Promise<Measured> {
  const started = performance.now();
  const child = spawn(program, arguments_, { stdio: ['ignore', 'ignore', 'pipe'] });
  let stderr = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => (stderr = (stderr + text).slice(-4000)));
  let peak = 0;
  const looking = setInterval(() => {
    if (child.pid !== undefined) peak = Math.max(peak, treeMb(child.pid));
  }, lookEveryMs);
  const code = await new Promise<number>((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (status) => resolve(status ?? 1));
  });
  clearInterval(looking);
  return { wallS: (performance.now() - started) / 1000, peakTreeMb: peak === 0 ? null : peak, code, stderr };
}

function treeMb(root: number): number {
  try {
    const parents = new Map<number, { parent: number; mb: number }>();
    for (const name of readdirSync('/proc')) {
      if (!/^\d+$/.test(name)) continue;
      try {
        const status = readFileSync(`/proc/${name}/status`, 'utf8');
        const parent = Number(/^PPid:\s+(\d+)/m.exec(status)?.[1] ?? 0);
        const kb = Number(/^VmRSS:\s+(\d+)/m.exec(status)?.[1] ?? 0);
        parents.set(Number(name), { parent, mb: kb / 1024 });
      } catch {
        // It ended while it was looked at.
      }
    }
    const belongs = (pid: number): boolean => {
      for (let at: number | undefined = pid; at !== undefined && at > 1; at = parents.get(at)?.parent) {
        if (at === root) return true;
      }
      return false;
    };
    return [...parents].reduce((sum, [pid, { mb }]) => (belongs(pid) ? sum + mb : sum), 0);
  } catch {
    return 0;
  }
}
