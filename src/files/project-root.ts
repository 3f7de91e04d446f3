import path from 'node:path';

/** The installed project's folder: files/ lies two levels below it in src/ as in dist/. */
export const projectRoot = path.resolve(import.meta.dirname, '..', '..');

/** Reactions that come with the tool. */
export const reactionsFolder = path.join(projectRoot, 'shared', 'reactions');
