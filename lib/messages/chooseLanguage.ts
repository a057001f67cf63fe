import { english } from './english'
import { pseudo } from './pseudo'
import type { Translate } from './translate'

const LANGUAGES: Translate[] = [english, pseudo]

/**
 * The language to answer in: the first of those a browser asks for (an `Accept-Language` header, RFC 9110 12.5.4) that
 * the catalogue has, else English. The pseudo-locale is only for who asks for `en-XA` first.
 */
export function chooseLanguage(header: string | null): Translate {
  const first = header?.split(',')[0]?.split(';')[0]?.trim().toLowerCase()
  return LANGUAGES.find(({ tag }) => tag.toLowerCase() === first) ?? english
}
