// Writes shared/schemas/ from the zod schemas of src/files/schemas/.
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { jsonSchemaFiles } from '../src/files/schemas/all.ts';

const folder = path.join(import.meta.dirname, '..', 'shared', 'schemas');
for (const { name, text } of jsonSchemaFiles()) writeFileSync(path.join(folder, name), text);
