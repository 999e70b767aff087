// Figures as people read them: a true minus, no more digits than they are worth.

const minus = (text: string): string => text.replace("-", "−");

/** Rounded to so many decimals. */
export function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return minus(Number(text) === 0 ? text.replace("-", "") : text);
}

/** Rounded to so many significant digits, without an exponent. */
export function significant(value: number, digits: number): string {
  if (value === 0 || !Number.isFinite(value)) return minus(String(value));
  const decimals = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(value))));
  const step = 10 ** Math.max(0, Math.floor(Math.log10(Math.abs(value))) - digits + 1);
  return decimals > 0 ? fixed(value, Math.min(decimals, 12)) : minus(String(Math.round(value / step) * step));
}

export const hertz = (value: number): string => `${value < 100 ? fixed(value, 1) : fixed(value, 0)} Hz`;
export const decibel = (value: number): string => `${fixed(value, 0)} dB`;
export const percent = (share: number): string => `${fixed(100 * share, 0)} %`;
/** With its sign, for changes. */
export const signed = (value: number, decimals: number): string =>
  value > 0 && Number(value.toFixed(decimals)) !== 0 ? `+${fixed(value, decimals)}` : fixed(value, decimals);

/** "+36/−30" of a band around a value. */
export const bandWords = (value: number, low: number, high: number): string =>
  `+${fixed(high - value, 0)}/${fixed(low - value, 0)}`;

/** "no", "one", "two" … up to twelve, then digits. */
export function inWords(count: number): string {
  const words = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];
  return words[count] ?? String(count);
}

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
