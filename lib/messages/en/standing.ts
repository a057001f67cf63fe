/** How a sample stands, by when something is to be done, and where it is, in a few words. */
export const standing = {
  'standing.name.sound': 'sound',
  'standing.name.tight': 'tight',
  'standing.name.atRisk': 'at risk',
  'standing.name.lapsed': 'lapsed',
  'standing.name.kept': 'kept',
  'standing.name.ended': 'ended',
  'standing.name.unproven': 'unproven',
  'standing.sound.left': 'sound: {left} left',
  'standing.tight.left': 'tight: {left} left',
  'standing.atRisk.left': 'at risk: {left} left',
  'standing.inQuestion': 'in question',
  'standing.inQuestion.left': 'in question: {left} left',
  'standing.ruledOut': 'unfit: to be cut again by ruling',
  'standing.lapsed.ago': 'lapsed {ago} ago',
  'standing.lapsed.missedBy': 'lapsed: missed by {late}',
  'standing.lateReport.due': 'report late: due {ago} ago',
  'standing.lateReport.by': 'report late by {late}',
  'standing.lateReport.chance': '{chance} for a late report',
  'standing.ended':
    '{ending, select, lost {ended: lost} returned {ended: returned} rejected {ended: rejected} cancelled {ended: cancelled} other {ended: ruled out}}',
  'standing.noLimit': 'no hold limit known',
  'standing.noClock': 'no clock running',
  'standing.noClockYet': 'no clock running yet',
  'standing.missChance': '{chance} to miss',
  'standing.replacedBy': 'replaced by {kit}',
  'standing.replacedByUnseen': 'replaced by another kit',
  'standing.settledOn': 'settled {day}',
  'standing.endedSettledOn':
    '{ending, select, lost {lost, settled {day}} returned {returned, settled {day}} rejected {rejected, settled {day}} other {cancelled, settled {day}}}',

  'restraint.doNotSend': 'Do not send it.',
  'restraint.doNotLoad': 'Do not load it.',

  // By when an act is in time, and from when on: stands after what to do, whose last words may be about something else.
  // {deadline} and {time} name their place.
  'act.time.by': '(by {deadline})',
  'act.time.awaited': '(due by {deadline})',
  'act.time.overdue': '(overdue since {deadline})',
  'act.time.notBefore': '(not before {time})',
  'act.time.notBeforeBy': '(not before {time}, and by {deadline})',

  // {since} is "today", a weekday or a date.
  'whereabouts.ended':
    '{ending, select, lost {lost} returned {returned} rejected {rejected} other {cancelled}}',
  'whereabouts.issued': 'kit issued {since}, not yet cut',
  'whereabouts.produced': 'made {since}, not yet cut',
  'whereabouts.collected': 'cut {since}, not handed over',
  'whereabouts.sealed': 'sealed {since}, not handed over',
  'whereabouts.dispatched':
    '{days, plural, =0 {with the carrier since today} other {with the carrier, day #}}',
  'whereabouts.delivered': 'delivered {since}, not yet received',
  'whereabouts.received': 'on the dock since {since}',
  'whereabouts.conditioned': 'in conditioning since {since}',
  'whereabouts.loaded': 'in the chamber since {since}',
  'whereabouts.reported': 'reported {since}',
} as const
