/** Numbers, lengths of time, and instants with their place. */
export const time = {
  // Counts as prose writes them: in letters up to twelve. `spelledFirst` begins a sentence.
  'number.spelled':
    '{count, plural, =0 {no} =1 {one} =2 {two} =3 {three} =4 {four} =5 {five} =6 {six} =7 {seven} =8 {eight} =9 {nine} =10 {ten} =11 {eleven} =12 {twelve} other {#}}',
  'number.spelledFirst':
    '{count, plural, =0 {No} =1 {One} =2 {Two} =3 {Three} =4 {Four} =5 {Five} =6 {Six} =7 {Seven} =8 {Eight} =9 {Nine} =10 {Ten} =11 {Eleven} =12 {Twelve} other {#}}',

  'duration.days': '{days, plural, one {# day} other {# days}}',
  'duration.daysHours':
    '{days, plural, one {# day} other {# days}} {hours, plural, one {# hour} other {# hours}}',
  'duration.hours': '{hours, plural, one {# hour} other {# hours}}',
  'duration.hoursMinutes':
    '{hours, plural, one {# hour} other {# hours}} {minutes, plural, one {# minute} other {# minutes}}',
  'duration.minutes': '{minutes, plural, one {# minute} other {# minutes}}',
  'duration.underOneMinute': 'less than a minute',
  // In a table: "7.5 h", "5.3 d".
  'duration.table.hours': '{hours} h',
  'duration.table.days': '{days} d',

  'instant.inPlace': '{dateTime} in {place}',
  'instant.today': 'today',
  // After "by", and after "ends".
  'deadline.endOfDay': 'the end of {day}, {place}',
  'deadline.endOfLongDay': 'the end of {day} in {place}',
  'deadline.endOfLongDayUtc': 'the end of {day} {offset}',
  'deadline.endsWithDay': 'with {day}',
} as const
