import { ENGLISH, type Language } from './language'
import { PSEUDO } from './pseudo'

/** The languages with a translation of the catalogue. Pages load them by their tags: `app/layout.tsx`. */
export const LANGUAGES: readonly Language[] = [ENGLISH, PSEUDO]
