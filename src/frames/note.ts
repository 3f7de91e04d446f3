/** A plain sentence for the user about the source. */
export interface Note {
  readonly code: string;
  readonly severity: 'info' | 'warn';
  readonly message: string;
}
