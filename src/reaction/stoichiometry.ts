import { atomicWeights } from './atomic-weights.ts';

/** Atoms of each element in one formula unit. */
export type Composition = ReadonlyMap<string, number>;

/**
 * Reads a formula such as `K2Cr2O7`, `(NH4)2Cr2O7` or `Na2Cr2O7·2H2O`; the hydrate dot may be written `·`, `.`, `*` or `•`,
 * and spaces do not matter. `null` when the text is not a formula or holds an element that is not in the table.
 */
export function parseFormula(formula: string): Composition | null {
  const atoms = new Map<string, number>();
  for (const part of formula.replace(/\s+/g, '').split(/[·.*•]/)) {
    const match = /^(\d*)(.+)$/.exec(part);
    if (match === null) return null;
    const inner = parseUnit(match[2]!);
    if (inner === null) return null;
    addAtoms(atoms, inner, match[1] === '' ? 1 : Number(match[1]));
  }
  return atoms;
}

/** Molar mass in g/mol; `null` as for {@link parseFormula}. */
export function molarMassGMol(formula: string): number | null {
  const composition = parseFormula(formula);
  if (composition === null) return null;
  let sum = 0;
  for (const [element, count] of composition) sum += count * atomicWeights[element]!;
  return sum;
}

/** Chromium atoms in one formula unit of a salt (2 for a dichromate); `null` when there are none or the text is no formula. */
export function chromiumPerFormula(formula: string): number | null {
  return parseFormula(formula)?.get('Cr') ?? null;
}

/**
 * Electrons one molecule of an alcohol gives to acid dichromate: a primary alcohol goes on to the carboxylic acid (4),
 * a secondary one stops at the ketone (2). From the balanced equations
 * 3 C2H5OH + 2 Cr2O7(2-) + 16 H+ -> 3 CH3COOH + 4 Cr(3+) + 11 H2O (12 electrons for 3 molecules) and
 * 3 R2CHOH + Cr2O7(2-) + 8 H+ -> 3 R2CO + 2 Cr(3+) + 7 H2O (6 electrons for 3 molecules).
 */
export const electronsOfAlcohol = { primary: 4, secondary: 2 } as const;

/**
 * Amount of a reducing impurity, as mol % of the sample, that uses up all of the reagent.
 * `electronsPerReagent` is 3 for Cr(VI) to Cr(III).
 */
export function exhaustingMolPercent(
  reagentMol: number,
  electronsPerReagent: number,
  sampleMol: number,
  electronsPerImpurity: number,
): number {
  return ((reagentMol * electronsPerReagent) / electronsPerImpurity / sampleMol) * 100;
}

function addAtoms(into: Map<string, number>, from: Composition, times: number): void {
  for (const [element, count] of from) into.set(element, (into.get(element) ?? 0) + count * times);
}

function parseUnit(text: string): Composition | null {
  const stack: Map<string, number>[] = [new Map()];
  const token = /([A-Z][a-z]?)(\d*)|(\()|\)(\d*)/y;
  while (token.lastIndex < text.length) {
    const match = token.exec(text);
    if (match === null) return null;
    const top = stack.at(-1)!;
    if (match[1] !== undefined) {
      if (atomicWeights[match[1]] === undefined) return null;
      addAtoms(top, new Map([[match[1], 1]]), match[2] === '' ? 1 : Number(match[2]));
    } else if (match[3] !== undefined) {
      stack.push(new Map());
    } else {
      const closed = stack.pop()!;
      const outer = stack.at(-1);
      if (outer === undefined) return null;
      addAtoms(outer, closed, match[4] === '' ? 1 : Number(match[4]));
    }
  }
  return stack.length === 1 && stack[0]!.size > 0 ? stack[0]! : null;
}
