import type { MailLine } from './mailLine'

/** So long after its last mail a connection to a mail server is closed, ms. */
const REST_MS = 5_000

/** A line that is closed while there is nothing to hand over, and open again for the next mail. */
export function restingLine(line: MailLine): MailLine {
  let rest: NodeJS.Timeout | undefined
  return {
    async hand(mail, mayEnd) {
      clearTimeout(rest)
      try {
        return await line.hand(mail, mayEnd)
      } finally {
        rest = setTimeout(() => line.close(), REST_MS).unref()
      }
    },
    close() {
      clearTimeout(rest)
      line.close()
    },
  }
}
