/** A text is read in lines of so many characters at most in every mail program. */
const WIDTH = 76

/**
 * A paragraph in lines of 76 characters at most, broken at blanks; the first begins with `bullet`, and the others as
 * far in. A word that is longer stands on a line of its own.
 */
export function wrapped(text: string, bullet = ''): string {
  const indent = ' '.repeat(bullet.length)
  const lines: string[] = []
  let line = bullet
  let isFirst = true
  for (const word of text.split(/\s+/)) {
    const longer = isFirst ? line + word : `${line} ${word}`
    if (isFirst || longer.length <= WIDTH) {
      line = longer
      isFirst = false
      continue
    }
    lines.push(line)
    line = indent + word
  }
  return [...lines, line].join('\n')
}
