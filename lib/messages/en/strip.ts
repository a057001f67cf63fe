/** The axis above the hold strips; `rest` is hidden where there is little room. */
export const strip = {
  'strip.tick.daysLeft': '{days, plural, one {# day} other {# days}}<rest> left</rest>',
  'strip.tick.day': '{days, number}',
  'strip.tick.days': '{days, plural, one {#<rest> day</rest>} other {#<rest> days</rest>}}',
  'strip.tick.hours': '{hours, number} h',
  'strip.tick.limit': 'limit',
  'strip.tick.daysOver': '{days, plural, one {#<rest> day</rest>} other {#<rest> days</rest>}} over',
} as const
