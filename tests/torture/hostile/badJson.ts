import { pick } from '../programme'
import { makeBadFields } from './badFields'
import type { HostileRequest } from './hostileRequest'

const DEEPEST = 4_000
const GARBAGE = [
  '{',
  '}',
  '[',
  ']',
  ',',
  ':',
  '"',
  '\\',
  '/*',
  '//',
  "'",
  'NaN',
  'undefined',
  '\u0000',
  '\n',
  '\ufeff',
  '0x1f',
  '+1',
  '.5',
  'TRUE',
]

/** Ways to break a text that was JSON, each so that it is none any more, or nests deeper than any event does. */
const WAYS: Record<string, (text: string, random: () => number) => string> = {
  'cut off': (text, random) => text.slice(0, Math.floor(random() * text.length)),
  'garbage inside': (text, random) => {
    const at = Math.floor(random() * text.length)
    return text.slice(0, at) + pick(random, GARBAGE) + text.slice(at)
  },
  'garbage after': (text, random) => text + pick(random, GARBAGE),
  'a piece missing': (text, random) => {
    const at = Math.floor(random() * text.length)
    return text.slice(0, at) + text.slice(at + 1 + Math.floor(random() * 5))
  },
  'single quotes': (text) => text.replaceAll('"', "'"),
  'nested arrays': (_, random) => nest('[', ']', random),
  'nested objects': (_, random) => nest('{"a":', '}', random, '1'),
  'never closed': (_, random) => '['.repeat(1 + Math.floor(random() * DEEPEST * 5)),
  'deep facts': (text, random) =>
    text.replace('"facts":{', `"facts":{"deep":${nest('{"a":', '}', random, '[]')},`),
  'a mere value': (_, random) =>
    pick(random, ['', 'null', '0', 'true', '"text"', '[]', '{}', '[[],[]]', '[1,"a",null]', ' ', '\n\n']),
}

function nest(open: string, close: string, random: () => number, core = ''): string {
  const depth = 1 + Math.floor(random() * DEEPEST)
  return open.repeat(depth) + core + close.repeat(depth)
}

/** Bodies that are no JSON, or that nest. Cut lines leave whole ones around them, which are accepted. */
export function breakJson(random: () => number, number: number): HostileRequest {
  const { body, headers } = makeBadFields(random, number)
  const way = pick(random, Object.keys(WAYS))
  return { kind: `json, ${way}`, body: WAYS[way]?.(String(body), random) ?? '', headers }
}
