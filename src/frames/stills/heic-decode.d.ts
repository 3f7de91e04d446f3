declare module 'heic-decode' {
  interface Decoded {
    readonly width: number;
    readonly height: number;
    /** RGBA. */
    readonly data: Uint8ClampedArray;
  }
  // eslint-disable-next-line no-restricted-exports -- that is how the package exports it
  export default function decode(input: { readonly buffer: Uint8Array }): Promise<Decoded>;
}
