import type sharp from 'sharp';

/** The picture library, loaded when a picture is first read or written: a seventh of a second that a film known from before need not wait. */
export const loadSharp = async (): Promise<typeof sharp> => (await import('sharp')).default;
