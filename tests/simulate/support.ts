import { createScenario, type Scenario, type ScenarioInput } from '../../src/simulate/index.ts';

/** A tiny rack: blank, positive, two negatives, two samples; no noise unless asked. */
export function tinyScenario(change: Partial<ScenarioInput> = {}): Scenario {
  return createScenario({
    name: 'tiny',
    seed: 3,
    frame: { width: 240, height: 120 },
    frameCount: 6,
    intervalS: 600,
    rack: { rows: 1, columns: 6 },
    vials: [
      { label: 'blank', role: 'blank', kinetics: { model: 'none' } },
      { label: 'positive', role: 'positive', kinetics: { model: 'first-order', k: 2e-3 } },
      { label: 'negative', role: 'negative', kinetics: { model: 'zero-order', rate: 1e-6 } },
      { label: 'negative', role: 'negative', kinetics: { model: 'zero-order', rate: 1e-6 } },
      {
        label: 'lot',
        role: 'sample',
        group: 'lot',
        addedRunS: 700,
        kinetics: { model: 'burst-background', k: 2e-3, amplitude: 0.3 },
      },
      { label: 'clean', role: 'sample', kinetics: { model: 'none' } },
    ],
    ...change,
  });
}

export const noNoise = { readNoise: 0, shotNoise: 0 } as const;
