import { type CsvTable, formatCsv } from '../formats/safeCsv'

/**
 * Streams tables as the file NAME.csv; the first row names the columns. The next table is prepared while one is sent.
 * An error before the first table throws; a later one breaks off the download, so that no incomplete file looks
 * complete.
 */
export async function csvReply(
  name: string,
  tables: AsyncIterable<CsvTable> | Iterable<CsvTable>,
): Promise<Response> {
  const parts = encode(tables)
  let part = await parts.next()
  const body = new ReadableStream({
    async pull(controller) {
      if (part.done) return controller.close()
      controller.enqueue(part.value)
      part = await parts.next()
    },
    cancel: async () => void (await parts.return()),
  })
  return new Response(body, {
    headers: {
      'content-type': 'text/csv; charset=utf-8; header=present',
      'content-disposition': `attachment; filename="${name.replace(/[^\w.-]+/g, '-')}.csv"`,
      'cache-control': 'no-store',
    },
  })
}

async function* encode(
  tables: AsyncIterable<CsvTable> | Iterable<CsvTable>,
): AsyncGenerator<Uint8Array, void> {
  const encoder = new TextEncoder()
  for await (const table of tables) yield encoder.encode(formatCsv(table))
}
