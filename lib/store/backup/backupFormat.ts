import { z } from 'zod'

/** A backup that cannot be made, read or restored. The message consists of whole sentences that say what to do. */
export class BackupError extends Error {
  override name = 'BackupError'
}

/** Raise it when an older program could not restore the file. */
export const FORMAT_VERSION = 1

export const MANIFEST_NAME = 'manifest.json'
export const END_NAME = 'end.json'

/** The first entry of a backup: what it is of, and what its tables are. */
export const manifest = z.object({
  holdfastBackup: z.number(),
  /** The version of the program that made it. */
  program: z.string(),
  /** ISO 8601, UTC: as of when. */
  madeAt: z.string(),
  /** The version of the PostgreSQL server that it was read from. */
  server: z.string(),
  database: z.string(),
  /** Those in effect, in order. */
  migrations: z.array(z.object({ name: z.string(), checksum: z.string() })),
  /** In the order in which they can be filled: a table comes after those it refers to. */
  tables: z.array(z.object({ name: z.string(), columns: z.array(z.string()) })),
  sequences: z.array(z.object({ name: z.string(), value: z.string(), isCalled: z.boolean() })),
})
export type Manifest = z.infer<typeof manifest>

const digest = z.string().regex(/^[0-9a-f]{64}$/)

/** The last entry. A file without it was cut off. */
export const ending = z.object({
  /** SHA-256 of the first entry. */
  manifest: digest,
  /** The rows of each table, and the SHA-256 of their COPY text. */
  tables: z.array(z.object({ name: z.string(), rows: z.number(), sha256: digest })),
})
export type Ending = z.infer<typeof ending>

/**
 * One entry of the archive. Between the first and the last, each is a piece of a table's COPY text (rows are never cut), as
 * `event/00001.copy`.
 */
export interface BackupPart {
  name: string
  body: Buffer
}

export function nameChunk(table: string, number: number): string {
  return `${table}/${String(number).padStart(5, '0')}.copy`
}
