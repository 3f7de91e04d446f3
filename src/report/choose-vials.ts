import type { ChartRun } from './chart-data.ts';

/** Whether a vial is meant by a word of the user: its region, its label or its group, letter case aside. */
function isMeant(word: string, names: readonly (string | null)[]): boolean {
  return names.some((name) => name !== null && name.toLowerCase() === word.toLowerCase());
}

/** All words that would choose a vial of the runs. */
export function vialNames(runs: readonly ChartRun[]): readonly string[] {
  const names = runs.flatMap(({ vials }) =>
    vials.flatMap(({ result }) => [result.region, result.label, ...(result.group === null ? [] : [result.group])]),
  );
  return [...new Set(names)];
}

/** The runs with the chosen vials only, and the words that chose none; samples keep those with a chosen vial. */
export function chooseVials(
  runs: readonly ChartRun[],
  words: readonly string[],
): { readonly runs: readonly ChartRun[]; readonly unknown: readonly string[] } {
  const used = new Set<string>();
  const chosen = runs.map((run): ChartRun => {
    const vials = run.vials.filter(({ result }) => {
      const meaning = words.filter((word) => isMeant(word, [result.region, result.label, result.group]));
      for (const word of meaning) used.add(word);
      return meaning.length > 0;
    });
    const regions = new Set(vials.map(({ result }) => result.region));
    const samples = run.result.samples.filter((sample) => sample.regions.some((region) => regions.has(region)));
    return { ...run, vials, result: { ...run.result, samples } };
  });
  return { runs: chosen.filter(({ vials }) => vials.length > 0), unknown: words.filter((word) => !used.has(word)) };
}
