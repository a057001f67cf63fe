import type { HolidayRule } from '@/lib/hold/holidayRule'
import { parseHoliday } from '@/lib/hold/holidayText'

/**
 * The holidays of the United States as they stood before Juneteenth was added in 2021. Source: 5 U.S.C. 6103 and E.O. 11582;
 * by the rule of the Office of Personnel Management one on a Saturday is kept on the Friday before, on a Sunday on the Monday after.
 */
export const FEDERAL_RULES = [
  'New Year: 1 January, observed',
  'Birthday of Martin Luther King, Jr.: third Monday of January',
  'Washington’s Birthday: third Monday of February',
  'Memorial Day: last Monday of May',
  'Independence Day: 4 July, observed',
  'Labor Day: first Monday of September',
  'Columbus Day: second Monday of October',
  'Veterans Day: 11 November, observed',
  'Thanksgiving Day: fourth Thursday of November',
  'Christmas Day: 25 December, observed',
].map((line) => parseHoliday(line) as HolidayRule)
