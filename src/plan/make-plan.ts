import type { Reaction } from '../model/reaction.ts';
import type { Triple } from '../reaction/vial-colours.ts';
import type { Bench } from './bench.ts';
import { sheetWarningsOf, withShownNames } from './labels.ts';
import { outlookOf } from './outlook.ts';
import { codesFor, placeVials, type ToPlace } from './place-vials.ts';
import type { Plan, PlannedVial } from './plan.ts';
import { practiceOf } from './practice.ts';
import { errorModelOf, predictionsOf } from './predictions.ts';
import { paceOf } from './rates.ts';
import { recipeWords, reagentFacts } from './recipe.ts';
import { rehearse } from './rehearse.ts';
import { scenarioOfPlan } from './scenario-of-plan.ts';
import { dosingGapS, scheduleOf } from './schedule.ts';
import { findSubstance, isReducer } from './substances.ts';
import { traceRate } from './trace.ts';
import { doseMaterial, impurityElectrons, type DosedMaterial } from './vial-dose.ts';
import { warningsOf } from './warnings.ts';

/** Boiling below this, a reducing liquid counts as giving off vapour. Chosen: 2-butanol (99.5 C) does, 1-butanol hardly. */
const volatileBelowC = 105;
const defaultMargin = 0.05;
const defaultAlpha = 0.05;

export interface PlanRequest {
  readonly bench: Bench;
  readonly reaction: Reaction;
  /** Rehearsals in the forward model. */
  readonly rehearsals: number;
  /** Distance of two linear colours in OKLab. */
  readonly colourDistance: (first: Triple, second: Triple) => number;
}

/** A bench file to a whole plan. Deterministic by the bench's seed. Throws RangeError for a salt without chromium. */
export function makePlan({ bench, reaction, rehearsals, colourDistance }: PlanRequest): Plan {
  const seed = String(bench.seed ?? bench.name);
  const margin = bench.margin ?? defaultMargin;
  const alpha = bench.alpha ?? defaultAlpha;
  const reagent = reagentFacts(bench.reagent, bench.reagentMl);
  const materials = bench.materials.map((material) => doseMaterial(material, bench, reagent));
  const paces = materials.map((one) =>
    paceOf({ kind: one.kind, halfTimeMin: one.material.halfTimeMin }, bench.temperatureC, reagent.acidMolL),
  );
  const vials = plannedVials(bench, materials, seed);
  const positives = materials.flatMap(({ material }, index) =>
    material.role === 'positive' ? [paces[index] ?? null].flatMap((pace) => pace?.halfTimeS ?? []) : [],
  );
  const schedule = scheduleOf(bench, vials.length, positives.length === 0 ? null : Math.min(...positives));
  const chemistry = { materials, paces, chromiumMolL: reagent.chromiumMolL };
  const canRehearse = vials.some(({ role }) => role === 'negative') && vials.some(({ role }) => role === 'positive');
  const rehearsal = !canRehearse
    ? null
    : rehearse({
        scenario: scenarioOfPlan(bench, vials, chemistry, schedule),
        reaction,
        chromiumMolL: reagent.chromiumMolL,
        margin,
        readAtS: schedule.readAtS,
        runs: rehearsals,
        seed,
        colourDistance,
      });
  const model = errorModelOf(bench, rehearsal, margin, alpha);
  const trace = traceOf(bench, materials, paces, reagent);
  const boiling = materials.flatMap(({ boilsC }) => (boilsC === null ? [] : [boilsC]));
  const outlook = outlookOf({
    model,
    trace,
    impurity: bench.level.impurity,
    wantedMolPercent: bench.level.molPercent,
    readAtS: schedule.readAtS,
    temperatureC: bench.temperatureC,
    acidMolL: reagent.acidMolL,
    lowestBoilingC: boiling.length === 0 ? null : Math.min(...boiling),
  });
  const alcoholPace = paceOf({ kind: 'primary' }, bench.temperatureC, reagent.acidMolL);
  const warnings = warningsOf({
    bench,
    materials,
    margin,
    acidMolL: reagent.acidMolL,
    alcoholPace,
    readAtS: schedule.readAtS,
  });
  return {
    name: bench.name,
    seed,
    rack: bench.rack,
    vials,
    materials,
    ...schedule,
    margin,
    alpha,
    recipe: recipeWords(bench.reagent),
    reagentMl: bench.reagentMl,
    working: [...reagent.working, ...workingOf(materials, bench.blind === true)],
    outlook: outlook.lines,
    warnings,
    sheetWarnings: sheetWarningsOf(bench, warnings),
    predictions: predictionsOf({ bench, seed, schedule, model, rehearsal, outlook, vials, paces, margin, alpha }),
    practice: practiceOf({
      ...{ bench, vials, chemistry, schedule, margin, alpha, trace, alcoholPace },
      acidMolL: reagent.acidMolL,
    }),
  };
}

/** One line for all liquids of which a vial holds the same. */
function workingOf(materials: readonly DosedMaterial[], blind: boolean): readonly string[] {
  const names = new Map<string, string[]>();
  for (const { material, working } of materials) {
    if (working === null || (blind && material.role === 'sample')) continue;
    names.set(working, [...(names.get(working) ?? []), material.name]);
  }
  return [...names].map(([working, who]) => `${who.join(', ')}: ${working}`);
}

function plannedVials(bench: Bench, materials: readonly DosedMaterial[], seed: string): readonly PlannedVial[] {
  const toPlace = materials.flatMap(({ material, kind, boilsC }, index): readonly ToPlace[] =>
    Array.from({ length: material.vials ?? 1 }, () => ({
      material: index,
      role: material.role,
      volatile: kind !== null && isReducer(kind) && boilsC !== null && boilsC < volatileBelowC,
    })),
  );
  const codes = codesFor(toPlace.length, seed);
  const placedVials = placeVials(toPlace, bench.rack, seed).map((placed, index): PlannedVial => {
    const { material, pipetting } = materials[placed.material]!;
    return {
      ...placed,
      region: `${String.fromCharCode(65 + placed.row)}${placed.column + 1}`,
      code: codes[index]!,
      name: material.name,
      shown: material.name,
      group: material.role === 'sample' ? material.name : null,
      addedRunS: index * dosingGapS(bench),
      pipetting,
    };
  });
  return withShownNames(bench, placedVials);
}

/** The assumed impurity as a trace in the first sample whose amounts are known. */
function traceOf(
  bench: Bench,
  materials: readonly DosedMaterial[],
  paces: readonly ReturnType<typeof paceOf>[],
  reagent: { readonly chromiumMolPerVial: number; readonly acidMolL: number },
): { readonly exhaustingMolPercent: number; readonly rate: number } | null {
  const sample = materials.find((one) => one.material.role === 'sample' && one.exhaustingMolPercent !== null);
  const electrons = impurityElectrons(bench);
  const wanted = bench.level.impurity.trim().toLowerCase();
  const at = materials.findIndex(
    (one) =>
      one.material.role === 'positive' &&
      one.sampleMol !== null &&
      one.material.substance?.trim().toLowerCase() === wanted,
  );
  const known = findSubstance(wanted);
  const pace =
    at >= 0
      ? paces[at]!
      : paceOf(
          { kind: known?.kind ?? (electrons === 4 ? 'primary' : 'secondary') },
          bench.temperatureC,
          reagent.acidMolL,
        );
  if (sample === undefined || electrons === null || electrons === 0 || pace === null) return null;
  // Without that reference at hand: as much of it as of the sample.
  const excessMol = at >= 0 ? materials[at]!.sampleMol! : sample.sampleMol!;
  return {
    exhaustingMolPercent: sample.exhaustingMolPercent!,
    rate: traceRate(Math.LN2 / pace.halfTimeS, reagent.chromiumMolPerVial, excessMol, electrons),
  };
}
