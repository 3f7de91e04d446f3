/** The import table: what a folder of src/ may import beside model/, errors.ts and itself. */
export const importTable: Readonly<Record<string, { folders: readonly string[]; packages: readonly string[] }>> = {
  model: { folders: [], packages: [] },
  numeric: { folders: [], packages: ['ml-matrix', 'simple-statistics'] },
  files: { folders: [], packages: ['zod', 'yaml', 'node:*'] },
  frames: {
    folders: [],
    packages: ['sharp', 'fluent-ffmpeg', 'exifr', 'heic-decode', 'pngjs', '@ffmpeg-installer/*', 'node:*'],
  },
  motion: { folders: ['numeric'], packages: [] },
  colour: { folders: [], packages: ['culori', 'culori/*'] },
  light: { folders: ['numeric', 'colour'], packages: [] },
  spectra: { folders: [], packages: [] },
  reaction: { folders: ['numeric', 'spectra'], packages: [] },
  kinetics: { folders: ['numeric'], packages: [] },
  judge: { folders: ['numeric'], packages: ['simple-statistics'] },
  match: { folders: ['numeric', 'colour'], packages: [] },
  find: { folders: ['numeric', 'colour'], packages: [] },
  report: { folders: [], packages: ['d3-*', 'culori', 'hyparquet-writer', 'node:crypto'] },
  simulate: { folders: ['numeric', 'spectra'], packages: [] },
  plan: { folders: ['numeric', 'reaction', 'simulate'], packages: [] },
  batch: { folders: ['numeric', 'files'], packages: ['node:*'] },
  'rig-page': { folders: ['files', 'frames', 'colour', 'find'], packages: ['node:*'] },
};
