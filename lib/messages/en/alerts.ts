/** Alerts: mails about a sample that becomes at risk, lapses or arrives. */
export const alerts = {
  'alert.subject': 'Holdfast: {headline}',
  'alert.headline': '{headline}.',
  'alert.atRisk.headline':
    '{count, plural, one {{samples} is at risk} =2 {{samples} are at risk} other {# samples are at risk}}',
  'alert.atRisk.why':
    '{count, plural, one {It may miss its limit, “{limit}”.} other {Each of them may miss its limit, “{limit}”.}}',
  'alert.atRisk.chance': 'The chance of missing it is {chance}.',
  'alert.lapsed.headline':
    '{count, plural, one {{samples} has lapsed} =2 {{samples} have lapsed} other {# samples have lapsed}}',
  'alert.lapsed.why':
    '{count, plural, one {It missed its limit, “{limit}”.} other {Each of them missed its limit, “{limit}”.}}',
  'alert.arrived.headline':
    '{count, plural, one {{samples} has arrived} =2 {{samples} have arrived} other {# samples have arrived}}',
  'alert.arrived.why':
    '{count, plural, one {{laboratory} received it on {day}.} other {{laboratory} received them on {day}.}}',

  'alert.limitEnds': '{form, select, day {Its limit ends with {end}.} other {Its limit ends on {end}.}}',
  'alert.limitEnded': '{form, select, day {Its limit ended with {end}.} other {Its limit ended on {end}.}}',
  'alert.see': 'See {sample}',
  'alert.because.noLimit':
    '{count, plural, one {No limit of it is running.} other {No limit of any of them is running.}}',
  'alert.because.reported': '{count, plural, one {It has been reported.} other {They have been reported.}}',
  'alert.because.notOwed':
    '{count, plural, one {It has lapsed, and the testing schedule requires no sample of its kind.} other {They have lapsed, and the testing schedule requires no samples of their kind.}}',
  'alert.because.replaced':
    '{count, plural, one {It has lapsed and is replaced.} other {They have lapsed and are replaced.}}',
  'alert.because.toBeReplaced':
    '{count, plural, one {It is to be replaced by a kit that the programme issues, unless it rules otherwise.} other {Each is to be replaced by a kit that the programme issues, unless it rules otherwise.}}',

  'alert.toDo.heading': 'What to do',
  'alert.nothing.heading': 'Nothing for you to do',
  'alert.sample': '{product}, {plant}',
  'alert.sample.lot': '{product}, lot {lot}, {plant}',
  'alert.footer.asOf': 'Alert as of {time}.',
  'alert.footer.stop': 'Stop alerts',
  'alert.choice.atRisk': 'A sample is at risk of missing its limit',
  'alert.choice.lapsed': 'A sample has lapsed',
  'alert.choice.arrived': 'A sample has arrived at the laboratory',
} as const
