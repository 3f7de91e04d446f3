import { spawn } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';

export interface Measured {
  readonly wallS: number;
  /** Largest sum of resident memory over the process and its descendants, MB; `null` where /proc is absent. */
  readonly peakTreeMb: number | null;
  /** Largest resident memory of one process: the program itself, and any descendant, MB. */
  readonly peakNodeMb: number | null;
  readonly peakOtherMb: number | null;
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
  const peak = { tree: 0, own: 0, other: 0 };
  const looking = setInterval(() => {
    if (child.pid === undefined) return;
    const found = treeMb(child.pid);
    peak.tree = Math.max(peak.tree, found.own + found.others.reduce((sum, mb) => sum + mb, 0));
    peak.own = Math.max(peak.own, found.own);
    peak.other = Math.max(peak.other, ...found.others);
  }, lookEveryMs);
  const code = await new Promise<number>((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (status) => resolve(status ?? 1));
  });
  clearInterval(looking);
  const known = (mb: number): number | null => (mb === 0 ? null : mb);
  return {
    wallS: (performance.now() - started) / 1000,
    ...{ peakTreeMb: known(peak.tree), peakNodeMb: known(peak.own), peakOtherMb: known(peak.other), code, stderr },
  };
}

function treeMb(root: number): { readonly own: number; readonly others: readonly number[] } {
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
    const others = [...parents].filter(([pid]) => pid !== root && belongs(pid)).map(([, { mb }]) => mb);
    return { own: parents.get(root)?.mb ?? 0, others };
  } catch {
    return { own: 0, others: [] };
  }
}
