import { mkdir, rename, writeFile } from 'node:fs/promises'
import { join } from 'node:path'

/**
 * Writes a mail to a file of the outbox, which only its owner reads, and returns the path. The file appears once it is whole; the
 * same mail written again has one file.
 */
export async function writeToOutbox(folder: string, name: string, message: Buffer): Promise<string> {
  await mkdir(folder, { recursive: true, mode: 0o700 })
  const path = join(folder, `${name}.eml`)
  const draft = `${path}.part`
  await writeFile(draft, message, { mode: 0o600 })
  await rename(draft, path)
  return path
}
