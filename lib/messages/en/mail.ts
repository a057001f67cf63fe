/** The weekly mail, and what every mail of Holdfast shares. */
export const mail = {
  'mail.subject': 'Holdfast {week}: {summary}',
  'mail.subject.overdue': '{count, plural, one {# overdue task is yours} other {# overdue tasks are yours}}',
  'mail.subject.more': '{count, number} more to do',
  'mail.subject.toDo': '{count, number} to do',
  'mail.subject.others':
    '{count, plural, one {# overdue task waits for others} other {# overdue tasks wait for others}}',
  'mail.subject.nothing': 'nothing to do',

  'mail.intro.first': 'First: {act}.',
  'mail.intro.notOverdue': 'Nothing of yours is overdue.',
  'mail.intro.nothing': 'Nothing is overdue, and nothing is yours to do.',
  'mail.intro.nothingYours': 'Nothing is yours to do.',
  'mail.intro.waiting': '{count, plural, one {# task waits for others.} other {# tasks wait for others.}}',
  'mail.intro.urgentOthers': 'More urgent, with others:',
  'mail.intro.urgentOther': '{actor}: {act}.',
  'mail.intro.moreUrgent':
    '{count, plural, one {# more urgent task waits for others.} other {# more urgent tasks wait for others.}}',

  'mail.own.heading': 'Yours to do',
  'mail.own.saved': 'Can still be saved: the most urgent first',
  'mail.own.late': 'The rest: the latest to become overdue first',
  'mail.others.heading': 'With plants and laboratories: overdue or at risk',
  'mail.upcoming.heading': 'Coming up',
  'mail.more': 'And {count, number} more: see what is due',
  'mail.see': 'See what is due',
  'mail.changes.heading': 'Since the mail of {day}',
  'mail.changes.new':
    '{count, plural, one {# task is new and marked so.} other {# tasks are new and marked so.}}',
  'mail.changes.settled':
    '{count, plural, one {# task in that mail is no longer overdue.} other {# tasks in that mail are no longer overdue.}}',
  'mail.changes.none': 'No task is new, and none in that mail is done.',
  'mail.waiting.heading': 'Not yours to do now',
  'mail.waiting.others':
    '{count, plural, one {# overdue task about your samples waits for others.} other {# overdue tasks about your samples wait for others.}}',
  'mail.setAside.heading': 'Set aside',
  'mail.setAside.count':
    '{count, plural, one {# overdue task is set aside.} other {# overdue tasks are set aside.}}',
  'mail.inactive.heading': 'With something overdue, and nothing done for two weeks',
  'mail.inactive.person': '{name} ({places})',
  'mail.rejected.heading': 'Their mail is refused: correct the address',
  'mail.rejected.first': 'The first {shown, number} of {count, number}.',
  'mail.rejected.person': '{name} ({address})',
  'mail.rejected.said': 'The mail server said “{said}”.',
  'mail.backup.heading': 'Backup',
  'mail.backup.overdue': 'Warning: no backup for more than two days',
  'mail.backup.last': 'The last good backup is of {time}.',
  'mail.backup.none': 'No backup has been made yet.',
  'mail.keys.heading': 'API keys to look at',
  'mail.keys.see': 'What to do about them',
  'mail.backup.fault': 'The last attempt failed: “{reason}”',

  'mail.line': '{act}.',
  'mail.line.withActor': '{actor}: {act}',
  'mail.mark.new': 'New.',
  'mail.mark.overdue': 'Overdue.',
  'mail.mark.newAndOverdue': 'New and overdue.',
  'mail.moreNames': '{count, number} more',
  'mail.names': '{names}.',

  'mail.footer.asOf': 'Week {week}, as of {time}.',
  'mail.footer.alsoFor': 'It is also for {names}.',
  'mail.footer.choose': 'Choose what is sent to you',
  'mail.footer.stop': 'Stop this weekly mail',

  'mail.date.withZone': '{day} ({zone})',
  'mail.date.endOf': 'the end of {day}',
  'mail.chance.almostCertain': 'more than 99 %',

  'mail.item.noKit': 'Its kit has not been issued yet.',
  'mail.item.doNotSend': 'Do not send {sample}',
  'mail.item.doNotLoad': 'Do not load {sample}',
  'mail.item.by': 'To be done by {deadline}.',
  'mail.item.likely': 'Likely by {day}.',
  'mail.item.risk': 'The chance of missing its hold limit is {chance}.',
  'mail.item.missing':
    '{milestone, select, conditioned {Record when the conditioning of {sample} began} loaded {Record when {sample} went into the chamber} produced {Record when {sample} was made} collected {Record when {sample} was cut} sealed {Record when {sample} was sealed} dispatched {Record when {sample} was handed over} delivered {Record when {sample} was delivered} received {Record when {sample} was received} other {Record when {sample} was reported}}',
  'mail.item.missing.why': 'A later step is recorded, and its hold limit cannot be judged without this one.',
  'mail.item.receive':
    '{count, plural, one {Record the receipt of {samples} from {plant}} other {Record the receipt of # samples from {plant}}}',
  'mail.item.expect':
    '{count, plural, one {Expect {samples} from {plant}} other {Expect # samples from {plant}}}',
  'mail.item.late':
    '{count, plural, one {It is later than 95 of 100 like it.} other {They are later than 95 of 100 like them.}}',

  'mail.stake.report': 'The report on it still has to be out by {day}.',
  'mail.stake.sample':
    '{milestone, select, reported {The report on {sample} has to be issued by {deadline}.} other {{sample} has to be {milestone, select, produced {made} collected {cut} sealed {sealed} dispatched {in the carrier’s hands} delivered {delivered} received {received} conditioned {in conditioning} other {in the chamber}} by {deadline}, or it lapses.}}',
  'mail.stake.limit':
    '{count, plural, one {Its hold limit is {deadline}.} other {The first hold limit is {deadline}.}}',
} as const
