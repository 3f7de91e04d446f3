/** Bundles the placing page into a folder. */
export function buildPage(folder: string): Promise<void>;
