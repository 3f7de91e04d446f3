import { z } from 'zod';

/**
 * A name that may become a file or folder name: letters, digits, space . _ -, not beginning with a dot or space nor
 * ending with one (Windows drops those).
 */
export const nameSchema = z
  .string()
  .min(1)
  .max(100)
  .regex(/^[\p{L}\p{N}_-](?:[\p{L}\p{M}\p{N} ._-]*[\p{L}\p{M}\p{N}_-])?$/u, {
    error: 'letters, digits, space . _ - only, not beginning or ending with a space or dot',
  });

/** One line of free text: no control characters, lone surrogates or direction overrides. */
export const lineSchema = z
  .string()
  .min(1)
  .max(200)
  .regex(/^[^\p{Cc}\p{Cs}\u202A-\u202E\u2066-\u2069]*$/u, { error: 'one line of text without control characters' });

/** Free text, several lines allowed. */
export const notesSchema = z
  .string()
  .max(5000)
  .regex(/^(?:[^\p{Cc}\p{Cs}\u202A-\u202E\u2066-\u2069]|[\n\r\t])*$/u, { error: 'text without control characters' });

/** A path in a file, relative to that file. */
export const pathSchema = z
  .string()
  .min(1)
  .max(1000)
  .regex(/^[^\p{Cc}]*$/u, { error: 'a path without control characters' });
