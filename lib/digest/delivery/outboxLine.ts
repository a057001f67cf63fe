import { mkdir, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import type { MailLine } from './mailLine'

/** A line that puts mail into files of a folder, for want of a mail server; a file is named by its mail, so there is one. */
export function outboxLine(folder: string): MailLine {
  return {
    async hand({ message }, mayEnd) {
      if (!(await mayEnd())) return { kind: 'not ours' }
      try {
        await mkdir(folder, { recursive: true, mode: 0o700 })
        const [, id = 'unnamed'] = /^Message-ID: <([^@>]+)/im.exec(message.toString('latin1')) ?? []
        const path = join(folder, `${id}.eml`)
        await writeFile(path, message, { mode: 0o600, flag: 'wx' }).catch((error: NodeJS.ErrnoException) => {
          if (error.code !== 'EEXIST') throw error
        })
        return { kind: 'taken', said: path, isWritten: true }
      } catch (error) {
        const said = (error as Error).message
        return { kind: 'not taken', said, isLasting: false, isAddress: false, isLineDown: true }
      }
    },
    close() {},
  }
}
