import { ENGLISH } from './language'
import { createTranslate } from './translate'

/** English: the language of the API, of commands and of logs. */
export const english = createTranslate(ENGLISH)
