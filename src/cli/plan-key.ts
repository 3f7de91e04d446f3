import { stringify } from 'yaml';
import type { BenchFile } from '../files/schemas/bench.ts';
import { groupCode, isHidden } from '../plan/labels.ts';
import type { Bench } from '../plan/bench.ts';
import type { Plan } from '../plan/plan.ts';
import { csvTable } from '../report/csv.ts';

/** `key.csv`: what every code stands for. In a blind plan the only file that tells. */
export function keyTable(plan: Plan): string {
  return csvTable(
    ['code', 'region', 'role', 'bottle', 'name', 'sample', 'warnings'],
    plan.vials.map((vial) => [
      vial.code,
      vial.region,
      vial.role,
      vial.group === null ? null : groupCode(plan.vials, vial.group),
      vial.name,
      vial.pipetting,
      plan.warnings
        .filter(({ about }) => about.includes(vial.name))
        .map(({ said }) => said)
        .join(' '),
    ]),
  );
}

/** Keys of a sample that tell what it is. */
const telling = [
  'substance',
  'kind',
  'density_g_ml',
  'molar_mass_g_mol',
  'soluble_percent',
  'boils_c',
  'half_time_min',
  'expect',
] as const;

/** The bench file as it may lie beside a blind run: samples by the codes of their bottles, nothing that tells them apart. */
export function blindBenchText(written: BenchFile, bench: Bench, plan: Plan): string {
  const materials = written.materials.map((material) => {
    const vial = plan.vials.find(({ name, role }) => name === material.name && role === material.role);
    if (vial === undefined || !isHidden(bench, vial)) return material;
    const kept = Object.entries(material).filter(([key]) => !(telling as readonly string[]).includes(key));
    return { ...Object.fromEntries(kept), role: material.role, name: groupCode(plan.vials, vial.group!) };
  });
  // Samples last and in the order of their codes: the order of the bench file would tell.
  const inOrder = [
    ...materials.filter(({ role }) => role !== 'sample'),
    ...materials.filter(({ role }) => role === 'sample').sort((one, other) => (one.name < other.name ? -1 : 1)),
  ];
  const comment =
    '# Blind: samples by the codes of their bottles; key.csv tells what they are, and its keeper has it.\n';
  return `${comment}${stringify({ ...written, materials: inOrder }, { lineWidth: 0 })}`;
}
