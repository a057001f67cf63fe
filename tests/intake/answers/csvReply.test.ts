import { parse } from 'csv-parse/sync'
import { describe, expect, test } from 'vitest'
import { csvReply } from '@/lib/intake/answers/csvReply'
import type { CsvTable } from '@/lib/intake/formats/safeCsv'

const TABLES: CsvTable[] = [[['a', 'b']], [['1', '=2']], [], [['3', 'é "x"\n']]]

/** Yields tables one at a time and counts how many were requested. */
function counted(fails = Number.POSITIVE_INFINITY) {
  const source = { asked: 0, isEnded: false }
  async function* tables(): AsyncGenerator<CsvTable> {
    try {
      for (;;) {
        source.asked += 1
        if (source.asked === fails) throw new Error('no more of it')
        yield [[String(source.asked)]]
      }
    } finally {
      source.isEnded = true
    }
  }
  return { source, tables: tables() }
}

describe('a CSV file as a response', () => {
  test('has every row of every table in safe cells, and its content type', async () => {
    const reply = await csvReply('PL 1/"x", settled', TABLES)
    expect(reply.status).toBe(200)
    expect(Object.fromEntries(reply.headers)).toEqual({
      'content-type': 'text/csv; charset=utf-8; header=present',
      'content-disposition': 'attachment; filename="PL-1-x-settled.csv"',
      'cache-control': 'no-store',
    })
    const text = await reply.text()
    expect(text.startsWith('"a","b"\r\n')).toBe(true)
    expect(parse(text)).toEqual([
      ['a', 'b'],
      ['1', "'=2"],
      ['3', 'é "x"\n'],
    ])
  })

  test('prepares one table ahead, and stops once nobody reads', async () => {
    const { source, tables } = counted()
    const reader = (await csvReply('endless', tables)).body?.getReader()
    for (let part = 1; part <= 20; part += 1) {
      expect(new TextDecoder().decode((await reader?.read())?.value)).toBe(`"${part}"\r\n`)
      expect(source.asked).toBeLessThanOrEqual(part + 3)
    }
    await reader?.cancel()
    expect(source.isEnded).toBe(true)
    expect(source.asked).toBeLessThanOrEqual(23)
  })

  test('fails before its first byte if its first table fails', async () => {
    await expect(csvReply('none', counted(1).tables)).rejects.toThrow('no more of it')
  })

  test('breaks off if a later table fails, and does not look complete', async () => {
    await expect((await csvReply('half', counted(3).tables)).text()).rejects.toThrow('no more of it')
  })
})
