/** Git builds are counted in commits; 5.1 branched off near 107,000 [from memory], and both spellings work for years after. */
const modernCommits = 108_000;
/** Daily builds are named by date. */
const modernYear = 2023;

/**
 * How this ffmpeg is told to hand over every frame once, at its own time: `-fps_mode` from 5.1 (July 2022) on, `-vsync`
 * before. An unknown version is taken for an old one: the old spelling outlived 5.1 by several releases.
 */
export function passthroughArguments(version: string): readonly string[] {
  return isModern(version) ? ['-fps_mode', 'passthrough'] : ['-vsync', '0'];
}

function isModern(version: string): boolean {
  const commits = /^ffmpeg N-(\d+)/.exec(version);
  if (commits !== null) return Number(commits[1]) >= modernCommits;
  const day = /^ffmpeg (\d{4})-\d\d-\d\d/.exec(version);
  if (day !== null) return Number(day[1]) >= modernYear;
  const release = /^ffmpeg n?(\d+)\.(\d+)/.exec(version);
  if (release === null) return false;
  const [major, minor] = [Number(release[1]), Number(release[2])];
  return major > 5 || (major === 5 && minor >= 1);
}
