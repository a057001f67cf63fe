import { arrivals } from './en/arrivals'
import { board } from './en/board'
import { common } from './en/common'
import { due } from './en/due'
import { hold } from './en/hold'
import { schedule } from './en/schedule'
import { site } from './en/site'
import { standing } from './en/standing'
import { time } from './en/time'

/** Every sentence a person reads, in English, by its key. ICU message format. */
export const en = {
  ...arrivals,
  ...board,
  ...common,
  ...due,
  ...hold,
  ...site,
  ...schedule,
  ...standing,
  ...time,
} as const
