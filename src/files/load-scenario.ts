import { checkShape } from './check-shape.ts';
import { readDocument } from './document.ts';
import { refuse } from './findings.ts';
import { scenarioSchema, type ScenarioFile } from './schemas/scenario.ts';

/**
 * Reads and checks a scenario file.
 * @throws UserError naming file, line and key.
 */
export async function loadScenario(file: string): Promise<ScenarioFile> {
  const document = await readDocument(file);
  const scenario = checkShape(scenarioSchema, document);
  const { rows, columns } = scenario.rack ?? {};
  if (rows !== undefined && columns !== undefined && rows * columns < scenario.vials.length) {
    refuse(document, [
      {
        code: 'rack-too-small',
        key: ['rack'],
        message: 'the rack has fewer places than there are vials',
        expected: `${scenario.vials.length} places or more`,
        got: `${rows} rows of ${columns}`,
      },
    ]);
  }
  return scenario;
}
