import { randomBytes } from 'node:crypto'
import { createReadStream, createWriteStream } from 'node:fs'
import { link, open, rename, rm, stat } from 'node:fs/promises'
import { dirname, resolve } from 'node:path'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import { createGunzip, createGzip } from 'node:zlib'
import { extract, pack } from 'tar-stream'
import { BackupError, type BackupPart } from './backupFormat'
import { decrypt, encrypt } from './encryption'

export interface WriteOptions {
  /** The public key (age) to encrypt to. */
  publicKey?: string | undefined
  /** Ends the work early; then there is no file. */
  signal?: AbortSignal | undefined
}

/**
 * Writes parts to a new file that only its owner may read: a tar archive, compressed with gzip, and encrypted with age if a
 * public key is given. The file appears once it is complete and on the disk.
 * @returns its size in bytes.
 * @throws BackupError if the file exists already; else the system's error.
 */
export async function writeBackupFile(
  file: string,
  parts: AsyncIterable<BackupPart>,
  { publicKey, signal }: WriteOptions = {},
): Promise<number> {
  if (await stat(file).catch(() => null)) throw refuseTaken(file)
  const beside = nameUnfinished(file)
  try {
    const tar = Readable.from(toTar(parts), { objectMode: false })
    const output = createWriteStream(beside, { mode: 0o600, flags: 'wx', flush: true })
    if (publicKey === undefined) await pipeline(tar, createGzip(), output, { signal })
    else
      await pipeline(tar, createGzip(), (source) => encrypt(Readable.from(source), publicKey), output, {
        signal,
      })
    const { size } = await stat(beside)
    await nameOnce(beside, file)
    await syncFolder(dirname(resolve(file)))
    return size
  } catch (error) {
    await rm(beside, { force: true }).catch(() => {})
    throw error
  }
}

/**
 * A name for a file while it is written, each time another: processes in containers share ids, so one may find what another
 * left or still writes.
 */
export function nameUnfinished(file: string): string {
  return `${file}.unfinished-${randomBytes(6).toString('hex')}`
}

function refuseTaken(file: string): BackupError {
  return new BackupError(`${file} exists already. Choose another name, or move that file away.`)
}

/**
 * Gives a complete file its name unless another process has taken that meanwhile, which a rename would overwrite. A file
 * system that has no links gets an empty file first: then a kill in that moment leaves an empty one.
 */
async function nameOnce(beside: string, file: string): Promise<void> {
  try {
    await link(beside, file).catch(async (error: NodeJS.ErrnoException) => {
      if (error.code === 'EEXIST') throw error
      await (await open(file, 'wx')).close()
      await rename(beside, file)
    })
  } catch (error) {
    throw (error as NodeJS.ErrnoException).code === 'EEXIST' ? refuseTaken(file) : error
  }
  await rm(beside, { force: true })
}

/** The new name is only durable once the folder is; some systems cannot open one. */
async function syncFolder(folder: string): Promise<void> {
  const handle = await open(folder).catch(() => null)
  await handle?.sync().catch(() => {})
  await handle?.close()
}

async function* toTar(parts: AsyncIterable<BackupPart>): AsyncGenerator<Buffer> {
  const tar = pack()
  const fill = async () => {
    for await (const { name, body } of parts) {
      await new Promise<void>((resolve, reject) => {
        const entry = tar.entry({ name, size: body.length, mode: 0o600 }, body, (error) =>
          error ? reject(error) : resolve(),
        )
        // A full disk ends the archive and this entry of it; unheard, that would end the process.
        entry.on('error', reject)
      })
    }
    tar.finalize()
  }
  const filled = fill().catch((error: Error) => tar.destroy(error))
  yield* tar as AsyncIterable<Buffer>
  await filled
}

/**
 * Reads the parts of a file.
 * @param identity the secret key, if the file is encrypted.
 * @throws BackupError, also later while parts are read, if it cannot be decrypted, is damaged, or is no backup.
 */
export async function* readBackupFile(file: string, identity?: string): AsyncGenerator<BackupPart> {
  try {
    yield* fromTar(await openStream(file, identity))
  } catch (error) {
    if (error instanceof BackupError) throw error
    const { message } = error as Error
    throw new BackupError(`${file} is damaged or cut off (${message}). Use another backup.`)
  }
}

const AGE = 'age-encryption.org/v1'
const GZIP = Buffer.from([0x1f, 0x8b])

async function openStream(file: string, identity?: string): Promise<Readable> {
  const head = await readHead(file)
  const input = createReadStream(file)
  if (head.toString('latin1') !== AGE) {
    if (head.subarray(0, 2).equals(GZIP)) return chain(input, createGunzip())
    throw new BackupError(`${file} is not a backup of Holdfast.`)
  }
  if (identity === undefined)
    throw new BackupError(
      `${file} is encrypted. Name the file with the secret key: npm run restore -- ${file} --identity KEYFILE`,
    )
  return chain(Readable.from(decrypt(input, identity)), createGunzip())
}

async function readHead(file: string): Promise<Buffer> {
  const handle = await open(file).catch((error: Error) => {
    throw new BackupError(`${file} cannot be read: ${error.message}`)
  })
  try {
    const { buffer, bytesRead } = await handle.read(Buffer.alloc(AGE.length), 0, AGE.length, 0)
    if (bytesRead < AGE.length) throw new BackupError(`${file} is too short to be a backup of Holdfast.`)
    return buffer
  } finally {
    await handle.close()
  }
}

/** An error of one stream is an error of the last. */
function chain(input: Readable, last: ReturnType<typeof createGunzip>): Readable {
  pipeline(input, last).catch(() => {})
  return last
}

/** A part is some megabytes, and longer only by one row: a larger one would have to be held in memory. */
const MAX_PART_BYTES = 256 * 1024 * 1024

async function* fromTar(source: Readable): AsyncGenerator<BackupPart> {
  const tar = extract()
  let wake = () => {}
  tar.on('drain', () => wake()).on('close', () => wake())
  const feed = async () => {
    for await (const data of source) {
      const isFull = !tar.write(data)
      if (isFull && !tar.destroyed)
        await new Promise<void>((resolve) => {
          wake = resolve
        })
      if (tar.destroyed) return
    }
    tar.end(null)
  }
  const fed = feed().catch((error: Error) => tar.destroy(error))
  try {
    for await (const entry of tar) {
      const { name, size = 0 } = entry.header
      if (size > MAX_PART_BYTES)
        throw new BackupError(
          `The backup is damaged: its part ${name} has ${size} bytes. Use another backup.`,
        )
      const pieces: Buffer[] = []
      for await (const piece of entry) pieces.push(piece as Buffer)
      yield { name, body: Buffer.concat(pieces) }
    }
    await fed
  } finally {
    source.destroy()
    tar.destroy()
  }
}
