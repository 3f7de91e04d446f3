import { describe, expect, it } from 'vitest';
import { judgeRun } from '../../src/judge/judge-run.ts';
import { firstOrder, firstOrderFit, syntheticRack } from './synthetic.ts';
import type { SyntheticRack } from './synthetic.ts';

describe('neighbour effect', () => {
  // Still vials either side of one that turns (region D of A..G), so that neither side nor dosing order explains a falling-off.
  const row = (rise: (distance: number) => number, added: (index: number) => number = () => 0): SyntheticRack => ({
    vials: ['A', 'B', 'C', 'D', 'E', 'F', 'G'].map((region, i) =>
      region === 'D'
        ? { region, role: 'positive', course: firstOrder(1 / 300), fit: firstOrderFit(1 / 300) }
        : {
            region,
            role: i === 0 ? ('blank' as const) : ('negative' as const),
            addedRunS: added(i),
            course: (timeS: number) => rise(Math.abs(i - 3)) * Math.max(0, (timeS - 1000) / 6000),
          },
    ),
    noise: 0.001,
  });
  const found = (rack: SyntheticRack) =>
    judgeRun(syntheticRack(rack)).checks.find(({ code }) => code === 'neighbour-effect')!;

  it('passes still vials', () => {
    expect(found(row(() => 0)).status).toBe('pass');
  });

  it('says consistent with vapour, never caused by', () => {
    const check = found(row((distance) => 0.12 / distance ** 2));
    expect(check.status).toBe('warn');
    expect(check.message).toMatch(/consistent with vapour from D/);
    expect(check.message).not.toMatch(/caused/);
  });

  it('looks at the order of dosing first', () => {
    const check = found(
      row(
        (distance) => 0.12 / distance ** 2,
        (i) => Math.abs(i - 3) * 30,
      ),
    );
    expect(check.message).toMatch(/order of dosing explains it as well/);
  });
});
