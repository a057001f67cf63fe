/** Alerts: mails about a sample that becomes at risk, lapses, arrives or is in question. */
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
  'alert.hold.headline':
    '{count, plural, one {Something was found on {samples}} =2 {Something was found on {samples}} other {Something was found on # samples}}',
  'alert.hold.why':
    '{count, plural, one {It waits for the programme’s ruling.} other {Each of them waits for the programme’s ruling.}}',

  'alert.limitEnds': '{form, select, day {Its limit ends with {end}.} other {Its limit ends on {end}.}}',
  'alert.limitEnded': '{form, select, day {Its limit ended with {end}.} other {Its limit ended on {end}.}}',
  'alert.see': 'See {sample}',
  'alert.because.nothing':
    '{count, plural, one {Nothing is asked of anyone.} other {Nothing is asked of anyone about them.}}',

  'alert.toDo.heading': 'What to do',
  'alert.nothing.heading': 'Nothing for you to do',
  'alert.sample': '{product}, {plant}',
  'alert.sample.lot': '{product}, lot {lot}, {plant}',
  'alert.footer.asOf': 'Alert as of {time}.',
  'alert.footer.stop': 'Stop alerts',
  'alert.choice.atRisk': 'A sample is at risk of missing its limit',
  'alert.choice.lapsed': 'A sample has lapsed',
  'alert.choice.arrived': 'A sample has arrived at the laboratory',
  'alert.choice.hold': 'Something was found on a sample, and it waits for a ruling',
} as const
