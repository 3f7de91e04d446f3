/** Codecs of single pictures, as ffmpeg names them: each frame stands alone. */
const singlePictures = /^(mjpeg|prores|dnxhd|cfhd|ffv1|rawvideo|png|huffyuv|ffvhuff|utvideo|qtrle|jpeg2000|magicyuv)\b/;

/** Whether most pictures of a source are coded as changes of earlier ones: then changes too small to be worth a bit wait, or never come. */
export function codesChanges({ kind, codec }: { readonly kind: 'video' | 'stills'; readonly codec: string }): boolean {
  return kind === 'video' && !singlePictures.test(codec);
}
