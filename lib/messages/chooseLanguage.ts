import { english } from './english'
import { pseudo } from './pseudo'
import type { Translate } from './translate'

const TRANSLATORS: Translate[] = [english, pseudo]

/**
 * The language to answer in: the first that a browser asks for (an `Accept-Language` header, RFC 9110 section 12.5.4) if
 * there is one, else English. So the pseudo-locale is for whoever asks for `en-XA` first.
 */
export function chooseLanguage(header: string | null): Translate {
  const first = header?.split(',')[0]?.split(';')[0]?.trim().toLowerCase()
  return TRANSLATORS.find(({ tag }) => tag.toLowerCase() === first) ?? english
}
