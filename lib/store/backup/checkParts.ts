import { createHash } from 'node:crypto'
import {
  BackupError,
  type BackupPart,
  END_NAME,
  type Ending,
  ending,
  FORMAT_VERSION,
  MANIFEST_NAME,
  type Manifest,
  manifest,
  nameChunk,
} from './backupFormat'
import { RowSum } from './copyRows'

/** A backup while it is read. */
export interface CheckedBackup {
  manifest: Manifest
  /** The rows, in the order of the manifest's tables. Fails at the end, at the latest, if anything differs from the sums. */
  chunks: AsyncGenerator<{ table: string; body: Buffer }, Ending>
}

/**
 * Reads the first part of a backup and checks all the others as they are read.
 * @throws BackupError if it is damaged, cut off, or of a newer program.
 */
export async function checkParts(parts: AsyncGenerator<BackupPart>): Promise<CheckedBackup> {
  const first = (await parts.next()).value as BackupPart | undefined
  if (first?.name !== MANIFEST_NAME) throw new BackupError('This is not a backup of Holdfast.')
  const read = parse(first, manifest) as Manifest
  if (read.holdfastBackup > FORMAT_VERSION)
    throw new BackupError(
      `A newer Holdfast (${read.program}) made this backup. Restore it with that version or a later one.`,
    )
  const sha256 = createHash('sha256').update(first.body).digest('hex')
  return { manifest: read, chunks: checkChunks(parts, read, sha256) }
}

async function* checkChunks(
  parts: AsyncGenerator<BackupPart>,
  { tables }: Manifest,
  manifestSum: string,
): CheckedBackup['chunks'] {
  const sums = new Map(tables.map(({ name }) => [name, new RowSum()]))
  let at = 0
  let number = 0
  for await (const part of parts) {
    if (part.name === END_NAME) {
      const end = parse(part, ending) as Ending
      compare(end, {
        manifest: manifestSum,
        tables: [...sums].map(([name, sum]) => ({ name, ...sum.finish() })),
      })
      for await (const { name } of parts)
        throw new BackupError(`The backup goes on after its end, with ${name}.`)
      return end
    }
    while (at < tables.length && part.name !== nameChunk(tables[at]?.name ?? '', number + 1)) {
      at++
      number = 0
    }
    const table = tables[at]?.name
    if (table === undefined) throw new BackupError(`The backup is damaged: ${part.name} is not in its place.`)
    number++
    sums.get(table)?.add(part.body)
    yield { table, body: part.body }
  }
  throw new BackupError('The backup is cut off: its last part is missing. Use another backup.')
}

/** Reads all of a backup, to check it. */
export async function readToEnd({ chunks }: CheckedBackup): Promise<Ending> {
  for (;;) {
    const next = await chunks.next()
    if (next.done) return next.value
  }
}

/** @throws BackupError that names the first difference. */
export function compare(wanted: Ending, found: Ending): void {
  if (wanted.manifest !== found.manifest)
    throw new BackupError('The backup is damaged: its first part is not the one that was written.')
  for (const [index, { name, rows, sha256 }] of wanted.tables.entries()) {
    const other = found.tables[index]
    if (other?.name === name && other.rows === rows && other.sha256 === sha256) continue
    throw new BackupError(
      `The table ${name} differs from what was backed up (${other?.rows ?? 0} rows of ${rows}, or other content).`,
    )
  }
  if (found.tables.length !== wanted.tables.length)
    throw new BackupError('The backup is damaged: its last part does not list every table.')
}

function parse(part: BackupPart, schema: typeof manifest | typeof ending): Manifest | Ending {
  try {
    return schema.parse(JSON.parse(part.body.toString('utf8')))
  } catch {
    throw new BackupError(`The backup is damaged: its part ${part.name} cannot be read. Use another backup.`)
  }
}
