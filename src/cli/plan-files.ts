import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { Document, isSeq } from 'yaml';
import { writeFolderAtomically, type OutputFile } from '../files/index.ts';
import { targetFolder } from '../files/target-folder.ts';
import type { BenchFile } from '../files/schemas/bench.ts';
import type { Bench } from '../plan/bench.ts';
import type { Plan } from '../plan/plan.ts';
import { rigOfPlan, runOfPlan } from '../plan/run-document.ts';
import { sheetHtml } from './bench-sheet/sheet-html.ts';
import { sheetPdf } from './bench-sheet/sheet-pdf.ts';
import { onOneLine } from './on-one-line.ts';
import { blindBenchText, keyTable } from './plan-key.ts';
import { practiceText } from './practice-text.ts';

/** The files of a plan's folder; the bench file itself goes along, as the run names it. */
export async function planFiles(
  bench: Bench,
  plan: Plan,
  source: { readonly file: string; readonly written: BenchFile },
): Promise<readonly OutputFile[]> {
  const blind = bench.blind === true;
  return [
    { path: 'bench-sheet.html', content: sheetHtml(plan) },
    { path: 'bench-sheet.pdf', content: await sheetPdf(plan) },
    { path: 'run.yaml', content: runText(bench, plan) },
    { path: 'rig.json', content: `${JSON.stringify(rigOfPlan(bench), null, 2)}\n` },
    { path: 'plan.json', content: `${JSON.stringify(plan.predictions, null, 2)}\n` },
    { path: 'scenario.yaml', content: practiceText(bench, plan) },
    { path: 'key.csv', content: keyTable(plan) },
    {
      path: 'bench.yaml',
      content: blind ? blindBenchText(source.written, bench, plan) : await readFile(source.file, 'utf8'),
    },
  ];
}

const owned = [
  'bench-sheet.html',
  'bench-sheet.pdf',
  'run.yaml',
  'rig.json',
  'plan.json',
  'scenario.yaml',
  'key.csv',
  'bench.yaml',
];

/** Replaces only a folder that holds an earlier plan; what else lies there (the film) stays. */
export async function writePlanFolder(folder: string, files: readonly OutputFile[]): Promise<void> {
  await writeFolderAtomically(folder, files, { isOurs: holdsPlan, owned });
}

/** @throws UserError for a folder that is somebody else's, before the work for it is done. */
export async function checkPlanFolder(folder: string): Promise<void> {
  await targetFolder(folder, holdsPlan);
}

async function holdsPlan(folder: string): Promise<boolean> {
  const text = await readFile(path.join(folder, 'plan.json'), 'utf8').catch(() => '');
  return /^\{\s*"schema":\s*"vialapse\/plan@1"/.test(text);
}

function runText(bench: Bench, plan: Plan): string {
  const document = new Document(runOfPlan(bench, plan));
  document.commentBefore = [
    ' Declared before the run by "vialapse plan"; change reading time, margin or expectations only before the first dose.',
    ' After the run: put the pictures where "source" says, correct rig.json with "vialapse rig", and the times of dosing',
    ' (added_run_s) where they differed.',
  ].join('\n');
  for (const key of [['timing'], ['dose', 'reagent']]) onOneLine(document.getIn(key, true));
  const vials = document.get('vials', true);
  if (isSeq(vials)) vials.items.forEach(onOneLine);
  return document.toString({ lineWidth: 0 });
}
