import { expect, it } from 'vitest';
import { visualOrder } from '../../src/cli/visual-order.ts';
import { isolate } from '../../src/report/isolate.ts';

const words = (line: string): readonly string[] => visualOrder(line).split(/ +/);

// Unicode Standard Annex 9: the first word of a right-to-left run stands at its right end; a line begins on the side of
// its first strong letter, and what is isolated does not count for that.
it('sets words as they are read, for a writer that goes from left to right', () => {
  expect(words(isolate('أول ثان ثالث'))).toEqual(['ثالث', 'ثان', 'أول']);
  expect(words(isolate('<img أول ثان 7'))).toEqual(['<img', 'ثان', 'أول', '7']);
  expect(words(isolate('أول lot 7 ثان'))).toEqual(['ثان', 'lot', '7', 'أول']);
  expect(words(isolate(`${isolate('أول ثان')} ÷ 1-butanol`))).toEqual(['ثان', 'أول', '÷', '1-butanol']);
  expect(visualOrder(isolate('recovered lot 07'))).toBe('recovered lot 07');
});

it('leaves no mark of an isolate, and a space of its own behind a right-to-left word', () => {
  expect(visualOrder(isolate('أول ثان'))).toBe('ثان  أول');
  expect(visualOrder(isolate(`${isolate('أول')} x`))).not.toMatch(/[\u2066-\u2069\u0001\u0002]/u);
});
