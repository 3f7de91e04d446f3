import { existsSync } from 'node:fs';
import path from 'node:path';
import { checkShape } from './check-shape.ts';
import { readDocument } from './document.ts';
import { refuse, type Finding } from './findings.ts';
import { benchSchema, type BenchFile } from './schemas/bench.ts';
import { planSchema, type PlanFile } from './schemas/plan.ts';

/**
 * Reads and checks a bench file.
 * @throws UserError naming file, line and key.
 */
export async function loadBench(file: string): Promise<BenchFile> {
  const document = await readDocument(file);
  const bench = checkShape(benchSchema, document);
  refuse(document, [...rackFindings(bench), ...timeFindings(bench), ...bench.materials.flatMap(materialFindings)]);
  return bench;
}

/** The predictions beside a bench file (`plan.json`); `null` where there are none. @throws UserError for a file that is none. */
export async function loadPlan(benchFile: string): Promise<PlanFile | null> {
  const file = path.join(path.dirname(benchFile), 'plan.json');
  return existsSync(file) ? checkShape(planSchema, await readDocument(file)) : null;
}

function rackFindings({ rack, materials }: BenchFile): Finding[] {
  const vials = materials.reduce((sum, material) => sum + (material.vials ?? 1), 0);
  const places = rack.rows * rack.columns;
  if (vials <= places && places <= 500) return [];
  const [message, hint] =
    places > 500
      ? ['the rack has more places than one frame can hold', 'give the part of the rack that is filmed']
      : ['the rack has fewer places than there are vials', 'leave out vials, or plan two runs'];
  return [
    {
      code: 'rack-too-small',
      key: ['rack'],
      message,
      expected: places > 500 ? 'at most 500 places' : `${vials} places or more`,
      got: `${rack.rows} rows of ${rack.columns}`,
      hint,
    },
  ];
}

function timeFindings({ read_at_h, hours, materials, dosing_gap_s }: BenchFile): Finding[] {
  const vials = materials.reduce((sum, material) => sum + (material.vials ?? 1), 0);
  const dosing = ((vials - 1) * (dosing_gap_s ?? 15)) / 3600;
  if (dosing >= 0.5 * hours) {
    return [
      {
        code: 'dosing-too-slow',
        key: dosing_gap_s === undefined ? ['hours'] : ['dosing_gap_s'],
        message: 'dosing alone takes more than half of the run',
        got: `${vials} vials, ${dosing_gap_s ?? 15} s apart, in ${hours} h`,
        hint: 'film longer, or dose faster',
      },
    ];
  }
  if (read_at_h === undefined || read_at_h + dosing <= hours) return [];
  return [
    {
      code: 'read-after-end',
      key: ['read_at_h'],
      message: 'the vial dosed last does not reach the reading time',
      expected: `at most ${Number((hours - dosing).toPrecision(3))} h`,
      got: `${read_at_h} h`,
      hint: 'read earlier, or film longer',
    },
  ];
}

function materialFindings(material: BenchFile['materials'][number], index: number): Finding[] {
  const key = ['materials', index];
  const found: Finding[] = [];
  const ways = (['drops', 'sample_ml', 'sample_g'] as const).filter((way) => material[way] !== undefined);
  if (ways.length > 1) {
    found.push({
      code: 'sample-twice',
      key: [...key, ways[1]!],
      message: 'the amount of sample is given twice',
      expected: 'drops with drop_mg, or sample_ml, or sample_g',
      hint: 'keep the one that is measured',
    });
  }
  if ((material.drops === undefined) !== (material.drop_mg === undefined)) {
    found.push({
      code: 'drop-unweighed',
      key: [...key, material.drops === undefined ? 'drop_mg' : 'drops'],
      message: 'drops need the mass of one, and a mass of one needs their number',
      expected: 'drops and drop_mg together',
      hint: 'weigh ten drops; a drop is not 0.05 mL',
    });
  }
  if ((material.role === 'standard') !== (material.level_mol_percent !== undefined)) {
    found.push({
      code: material.role === 'standard' ? 'missing-key' : 'key-of-other-role',
      key,
      message: 'a standard, and only a standard, has "level_mol_percent"',
      hint: material.role === 'standard' ? 'add level_mol_percent: to it' : 'remove it, or change the role to standard',
    });
  }
  if (material.expect !== undefined && material.role !== 'sample') {
    found.push({
      code: 'key-of-other-role',
      key: [...key, 'expect'],
      message: '"expect" is only for role sample',
      got: `role ${material.role}`,
      hint: 'remove it',
    });
  }
  return found;
}
