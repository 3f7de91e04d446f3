export function allSources(): string[];
export function measuringSources(): Promise<string[]>;
export function digestOf(names: readonly string[], read?: (name: string) => Uint8Array | string): string;
