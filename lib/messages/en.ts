import { common } from './en/common'
import { time } from './en/time'

/** Every sentence a person reads, in English, by its key. ICU message format. */
export const en = {
  ...common,
  ...time,
} as const
