import path from 'node:path';

/** The installed project's folder: files/ in src/ and in dist/ lies two levels below it, and so does dist/program/. */
export const projectRoot = path.resolve(import.meta.dirname, '..', '..');

/** Reactions that come with the tool. */
export const reactionsFolder = path.join(projectRoot, 'shared', 'reactions');
