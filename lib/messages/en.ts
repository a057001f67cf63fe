import { common } from './en/common'
import { hold } from './en/hold'
import { time } from './en/time'

/** Every sentence a person reads, in English, by its key. ICU message format. */
export const en = {
  ...common,
  ...hold,
  ...time,
} as const
