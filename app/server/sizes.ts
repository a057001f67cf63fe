import type { Translate } from '@/lib/messages/translate'

const KILOBYTE = 1024
const MEGABYTE = 1024 ** 2
const GIGABYTE = 1024 ** 3

/** A number of bytes as a person reads it: "47 kB", "7.3 MB", "412 GB". */
export function formatBytes(t: Translate, bytes: number): string {
  const format = (value: number) => t.number(value, { maximumFractionDigits: value < 10 ? 1 : 0 })
  if (bytes < MEGABYTE) return t('serverPage.size.kilobytes', { size: format(bytes / KILOBYTE) })
  return bytes < GIGABYTE
    ? t('serverPage.size.megabytes', { size: format(bytes / MEGABYTE) })
    : t('serverPage.size.gigabytes', { size: format(bytes / GIGABYTE) })
}
