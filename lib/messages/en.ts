import { common } from './en/common'

/** Every sentence a person reads, in English, by its key. ICU message format. */
export const en = {
  ...common,
} as const
