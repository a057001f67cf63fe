import type { MessageFormatElement } from '@formatjs/icu-messageformat-parser'
import type { Locale } from 'date-fns'
import { enGB } from 'date-fns/locale/en-GB'
import { en } from './en'
import type { MessageKey } from './message'

/** How days and times are written, as patterns of date-fns: each language has its own. */
export type DateForm = keyof typeof ENGLISH_DATES

/** What a language needs. */
export interface Language {
  /** BCP 47 tag: of the pages, and of the rules for numbers, lists and plurals. */
  tag: string
  /** What is missing is said in English. */
  messages: Partial<Record<MessageKey, string | MessageFormatElement[]>>
  dates: Record<DateForm, string>
  dateLocale: Locale
}

const ENGLISH_DATES = {
  time: 'HH:mm',
  offset: 'xxx',
  weekday: 'EEE',
  weekdayDate: 'EEE d',
  longWeekday: 'EEEE',
  dayMonth: 'd MMM',
  dayMonthYear: 'd MMM yyyy',
  weekdayDay: 'EEE d MMM',
  weekdayDayYear: 'EEE d MMM yyyy',
  weekdayDayTime: 'EEE d MMM HH:mm',
  weekdayDayYearTime: 'EEE d MMM yyyy HH:mm',
  weekdayDayTimeOffset: 'EEE d MMM HH:mm (xxx)',
  weekdayDayYearTimeOffset: 'EEE d MMM yyyy HH:mm (xxx)',
  longDay: 'd MMMM',
  longDayYear: 'd MMMM yyyy',
  longWeekdayDay: 'EEEE d MMMM',
  longWeekdayDayYear: 'EEEE d MMMM yyyy',
  longWeekdayDayTime: 'EEEE d MMMM, HH:mm',
  longWeekdayDayYearTime: 'EEEE d MMMM yyyy, HH:mm',
  month: 'MMMM',
  monthYear: 'MMMM yyyy',
}

export const ENGLISH: Language & { messages: typeof en } = {
  tag: 'en-GB',
  messages: en,
  dates: ENGLISH_DATES,
  dateLocale: enGB,
}
