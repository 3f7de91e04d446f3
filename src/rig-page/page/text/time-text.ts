const unitSeconds: Readonly<Record<string, number>> = { s: 1, sec: 1, m: 60, min: 60, h: 3600, d: 86_400 };

/**
 * Seconds from what people type: `90`, `1:30` (minutes and seconds), `2:00:00`, `90 s`, `1.5 h`, `2 h 30 min`.
 * A decimal comma is taken. `null` when it is none of these.
 */
export function parseTime(text: string): number | null {
  const plain = text.trim().toLowerCase().replaceAll(',', '.');
  if (/^-?\d+(\.\d+)?$/u.test(plain)) return Number(plain);
  if (/^-?\d+(:[0-5]?\d){1,2}(\.\d+)?$/u.test(plain)) {
    const sign = plain.startsWith('-') ? -1 : 1;
    const parts = plain.replace('-', '').split(':').map(Number);
    return sign * parts.reduce((total, part) => total * 60 + part, 0);
  }
  const words = [...plain.matchAll(/(\d+(?:\.\d+)?)\s*(sec|s|min|m|h|d)\b\s*/gu)];
  if (
    words.length === 0 ||
    words
      .map(([all]) => all)
      .join('')
      .trim() !== plain
  )
    return null;
  return words.reduce((total, [, amount, unit]) => total + Number(amount) * (unitSeconds[unit!] ?? Number.NaN), 0);
}

/** `h:mm:ss`, or `m:ss` below an hour; whole seconds. */
export function clockText(seconds: number): string {
  const whole = Math.round(Math.abs(seconds));
  const [hours, minutes, rest] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  const two = (value: number): string => String(value).padStart(2, '0');
  const sign = seconds < 0 && whole > 0 ? '-' : '';
  return hours > 0 ? `${sign}${hours}:${two(minutes)}:${two(rest)}` : `${sign}${minutes}:${two(rest)}`;
}

/** Number from a field, decimal comma taken; `null` when it is no finite number. */
export function parseNumber(text: string): number | null {
  const plain = text.trim().replace(',', '.');
  return /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/iu.test(plain) ? Number(plain) : null;
}
