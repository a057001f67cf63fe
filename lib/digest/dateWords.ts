/** Dates in a reader's language. The zone is printed where a time of day is. `at` in ms UTC. */
export interface DateWords {
  /** "Fri 27 November" */
  day(at: number, zone: string): string
  /** "Fri 27 November, 16:00 GMT" */
  time(at: number, zone: string): string
}

export function dateWords(language: string): DateWords {
  const day: Intl.DateTimeFormatOptions = { weekday: 'short', day: 'numeric', month: 'long' }
  const time: Intl.DateTimeFormatOptions = {
    ...day,
    hour: '2-digit',
    minute: '2-digit',
    timeZoneName: 'short',
  }
  return {
    day: (at, timeZone) => format(language, { ...day, timeZone }, at),
    time: (at, timeZone) => format(language, { ...time, timeZone }, at),
  }
}

const formats = new Map<string, Intl.DateTimeFormat>()

/** Making a format costs a hundred times its use. */
function format(language: string, options: Intl.DateTimeFormatOptions, at: number): string {
  const key = `${language} ${options.timeZone} ${options.hour ?? ''}`
  const known = formats.get(key) ?? new Intl.DateTimeFormat(language, options)
  formats.set(key, known)
  return known.format(at)
}

/** Whether dates can be written by a tag like pt-PT. */
export function isLanguage(tag: string): boolean {
  try {
    return tag.length <= 35 && Intl.DateTimeFormat.supportedLocalesOf(tag).length === 1
  } catch {
    return false
  }
}
