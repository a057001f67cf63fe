import { createHash } from 'node:crypto'
import { pick } from '../programme'
import { makeBadFields } from './badFields'
import type { HostileRequest } from './hostileRequest'

const TYPES = [
  '',
  'text/plain',
  'application/json; charset=utf-16',
  'application/json;;',
  'APPLICATION/JSON',
  'multipart/form-data; boundary=x',
  'application/x-www-form-urlencoded',
  '*/*',
  'application/json, text/csv',
  'x'.repeat(3_000),
]

const digest = (algorithm: string, text: string) =>
  `${algorithm.replace('sha', 'sha-')}=:${createHash(algorithm).update(text).digest('base64')}:`

/** Ways in which the bytes or the headers of a request are not what they say. */
const WAYS: Record<string, (text: string, random: () => number) => Omit<HostileRequest, 'kind'>> = {
  'UTF-16': (text) => ({
    body: bytes(Buffer.from(`\ufeff${text}`, 'utf16le')),
    headers: {},
    isUnreadable: true,
  }),
  'Latin 1': (text) => ({
    body: bytes(Buffer.from(`${text}\u00e9`, 'latin1')),
    headers: {},
    isUnreadable: true,
  }),
  'broken UTF-8': (text, random) => {
    const at = Math.floor(random() * text.length)
    const wrong = pick(random, [[0xff], [0xc0, 0x80], [0xed, 0xa0, 0x80], [0xf8, 0x88], [0xe2, 0x82]])
    const parts = [Buffer.from(text.slice(0, at)), Buffer.from(wrong), Buffer.from(text.slice(at))]
    return { body: bytes(Buffer.concat(parts)), headers: {}, isUnreadable: true }
  },
  noise: (_, random) => ({
    body: bytes(
      Buffer.from(Array.from({ length: Math.floor(random() * 500) }, () => Math.floor(random() * 256))),
    ),
    headers: {},
    isUnreadable: true,
  }),
  'a byte NUL': (text) => ({ body: `${text}\u0000`, headers: {}, isUnreadable: true }),
  'a wrong type': (text, random) => ({ body: text, headers: { 'content-type': pick(random, TYPES) } }),
  'an encoding that it has not': (text, random) => ({
    body: text,
    headers: { 'content-encoding': pick(random, ['gzip', 'br', 'deflate', 'identity', 'nonsense']) },
  }),
  'a digest of another body': (text) => ({
    body: text,
    headers: { 'content-digest': digest('sha256', `${text} `) },
    isUnreadable: true,
  }),
  'a right digest and a wrong one': (text) => ({
    body: text,
    headers: { 'content-digest': `${digest('sha256', text)}, ${digest('sha512', `${text} `)}` },
    isUnreadable: true,
  }),
  'a digest that cannot be read': (text, random) => ({
    body: text,
    headers: {
      'content-digest': pick(random, [
        '',
        ',',
        'sha-256',
        'sha-256=::',
        'md5=:AAAA:',
        'sha-256=:A:',
        `sha-256=:${'A'.repeat(5_000)}:`,
      ]),
    },
  }),
}

const bytes = (buffer: Buffer) => new Uint8Array(buffer)

/** Bodies in wrong encodings, with wrong types, and with digests that do not fit. */
export function makeBadTransport(random: () => number, number: number): HostileRequest {
  const valid = makeBadFields(random, number)
  const way = pick(random, Object.keys(WAYS))
  const made = WAYS[way]?.(String(valid.body), random) ?? valid
  return { ...made, kind: `transport, ${way}`, headers: { ...valid.headers, ...made.headers } }
}
