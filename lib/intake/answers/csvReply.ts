import { type CsvTable, formatCsv } from '../formats/safeCsv'

/**
 * A file NAME.csv as an HTTP response, sent as it is read: of `tables`, whose first row names the columns, one is in the
 * making while one is sent. What fails before the first table throws; later it breaks off the download, so that no file
 * looks whole that is not.
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
