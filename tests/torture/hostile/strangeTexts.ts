import { pick } from '../programme'

/** Texts that break programs: NUL, lone surrogates, bidi marks, quotes, formulas, paths, names of object properties. */
export const STRANGE_TEXTS: readonly string[] = [
  '\u0000',
  'a\u0000b',
  '\ud800',
  '\udfff\ud800',
  'x\udc00y',
  '\ufeff',
  '\ufffe\uffff',
  '\u202e\u2066desk\u2069',
  'e\u0301\u0301\u0301'.repeat(30),
  '👩‍👩‍👧‍👦'.repeat(20),
  'ﬃ ẞ ı İ ſ',
  '=1+1',
  '@SUM(A1)',
  '-2+3+cmd',
  "'; drop table event; --",
  '$1 $2 %s %n',
  '\\u0000 \\x00 \\',
  '"""',
  '\r\n\r\n',
  '\u2028\u2029\u0085',
  '../../etc/passwd',
  '__proto__',
  'constructor',
  'toString',
  'hasOwnProperty',
  '<script>1</script>',
  '{{7*7}}',
  ' ',
  '\t\u00a0\u200b',
  'null',
  'NaN',
  '1e309',
  'hand 1',
  '/',
  '#fault',
]

/** A strange text, sometimes much longer than any field may be. */
export function strangeText(random: () => number): string {
  const text = pick(random, STRANGE_TEXTS)
  return random() < 0.1 ? text.repeat(1 + Math.floor(random() * 400)) : text
}

/** Numbers as JSON writes them that no double holds, or that are no whole number. */
export const STRANGE_NUMBERS: readonly string[] = [
  '1e400',
  '-1e400',
  '1e-400',
  '-0',
  '9007199254740993',
  '123456789012345678901234567890',
  `1${'0'.repeat(2_000)}`,
  `0.${'1'.repeat(2_000)}`,
  '1.7976931348623157e308',
  '5e-324',
  '0.1',
]
