import { english } from './english'
import { pseudo } from './pseudo'
import type { Translate } from './translate'

const TRANSLATORS: Translate[] = [english, pseudo]

/**
 * The language to write in: the first that a browser asks for (`Accept-Language`, RFC 9110 section 12.5.4) or a person chose, if
 * the catalogue has it, else English. So the pseudo-locale is for whoever asks for `en-XA` first.
 */
export function chooseLanguage(wanted: string | null): Translate {
  const first = wanted?.split(',')[0]?.split(';')[0]?.trim().toLowerCase()
  return TRANSLATORS.find(({ tag }) => tag.toLowerCase() === first) ?? english
}
