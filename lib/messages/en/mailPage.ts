/** The page of mails: the next one, past ones, and what became of them. */
export const mailPage = {
  'mailPage.title': 'Weekly mail',
  'mailPage.reader.label': 'Mail of',
  'mailPage.reader.option': '{name} ({email})',
  'mailPage.reader.show': 'Show',
  'mailPage.time.weekday': 'Sent on',
  'mailPage.time.time': 'at',
  'mailPage.time.note': 'In each reader’s own time zone.',
  'mailPage.time.save': 'Save',
  'mailPage.rejected.title': 'Addresses to correct',
  'mailPage.rejected.intro':
    'A mail server refused these addresses for good. These people get no mail until their address is corrected.',
  'mailPage.rejected.person': '<person>{name}</person>, {address}, since {day}',

  'mailPage.next.title': 'Next mail',
  'mailPage.next.none': 'None: only people with something to do in the programme get this mail.',
  'mailPage.next.for': 'For {name}, week {week}, to {address}: {time}.',
  'mailPage.next.empty': 'Nothing would be sent: nothing is overdue, and no mail is chosen for that case.',
  'mailPage.next.stopped': 'This mail is stopped. It can be chosen again on the page “Your account”.',

  'mailPage.past.title': 'Past mails',
  'mailPage.past.none': 'No mail has been due yet.',
  'mailPage.past.showAll': 'Show alerts too',
  'mailPage.past.showWeekly': 'Show weekly mails only',
  'mailPage.past.caption': 'Newest first. The text of each mail is kept for half a year.',
  'mailPage.past.to': 'To',
  'mailPage.past.for': 'For',
  'mailPage.past.due': 'Due',
  'mailPage.past.status': 'Status',
  'mailPage.past.asSent': 'Subject as sent',
  'mailPage.past.forHead': 'for',
  'mailPage.past.dueHead': 'due',
  'mailPage.past.statusHead': 'status',
  'mailPage.past.asSentHead': 'subject as sent',
  'mailPage.past.known': 'Details',
  'mailPage.past.notKept': 'No longer kept',

  'mailPage.sent.title': 'A past mail',
  'mailPage.sent.to': 'To {name}.',
  'mailPage.sent.toAddress': 'To {name}, {address}.',
  'mailPage.sent.for': '{occasion}.',
  'mailPage.sent.endedOn': 'That was on {time}.',
  'mailPage.sent.said': 'The mail server said: {said}',
  'mailPage.sent.emptied':
    'Its text and its address were kept for half a year and are gone. Only the week or alert and the status remain.',
  'mailPage.sent.withheld':
    'It is not shown here, because what you may see has changed since then. It is in the mailbox that it went to.',
  'mailPage.sent.notKept': 'Its text was not kept.',
  'mailPage.sent.all': 'All mails of {name}',
  'mailPage.resend.sure': '{name} has told me that it did not arrive',
  'mailPage.resend.unsure': 'Ask first, then tick this: if it did arrive, there would be two.',
  'mailPage.resend.submit': 'Send it again',
  'mailPage.resend.note': 'It is written anew when it is sent. The audit log records it.',
  'mailPage.figure.frame': 'The mail “{subject}”',
  'mailPage.figure.text': 'Plain text, for mail programs that show no HTML',

  'mailPage.status.waiting': 'Waiting to be sent.',
  'mailPage.status.tried':
    '{count, plural, one {Tried once; it will be tried again.} other {Tried # times; it will be tried again.}}',
  'mailPage.status.sent': 'The mail server accepted it.',
  'mailPage.status.written': 'Written to the outbox: there is no mail server.',
  'mailPage.status.partOf': 'Part of another mail ({occasion}).',
  'mailPage.status.carried': 'Part of the mail of {name}.',
  'mailPage.status.carriedByOther': 'Part of another person’s mail.',
  'mailPage.status.nothingToSay': 'Not sent: nothing was overdue, or it was stopped.',
  'mailPage.status.refused': 'The mail server refused it for good. Correct the address.',
  'mailPage.status.givenUp': 'Given up after four days of trying.',
  'mailPage.status.uncertain':
    'It may have arrived: the mail server had it and never answered. It is not sent twice.',
  'mailPage.occasion.week': 'Week {week}',
  'mailPage.occasion.atRisk':
    '{more, plural, =0 {Alert: {sample} at risk} other {Alert: {sample} and # more at risk}}',
  'mailPage.occasion.lapsed':
    '{more, plural, =0 {Alert: {sample} lapsed} other {Alert: {sample} and # more lapsed}}',
  'mailPage.occasion.arrived':
    '{more, plural, =0 {Alert: {sample} arrived} other {Alert: {sample} and # more arrived}}',
  'mailPage.occasion.hold':
    '{more, plural, =0 {Alert: {sample} in question} other {Alert: {sample} and # more in question}}',

  'mailPage.stop.weekly': 'Stop the weekly mail',
  'mailPage.stop.weekly.ask': 'Press the button to get no more weekly mail from Holdfast.',
  'mailPage.stop.alerts': 'Stop alerts',
  'mailPage.stop.alerts.ask':
    'Press the button to get no more alerts, including those of people you stand in for. The weekly mail still comes.',
  'mailPage.stopped.weekly': 'The weekly mail is stopped',
  'mailPage.stopped.weekly.detail': 'Holdfast sends you none until you choose it again.',
  'mailPage.stopped.alerts': 'Alerts are stopped',
  'mailPage.stopped.alerts.detail': 'Holdfast sends you none until you choose them again.',
  'mailPage.stopped.unknown': 'That link no longer works',
  'mailPage.stopped.unknown.detail':
    'It is incomplete, or you have chosen the mail again since it was sent. Sign in and choose there, or use the link in your latest mail.',
  'mailPage.problem.noMail': 'No such mail',
  'mailPage.problem.noMail.detail': 'This address names no mail. Choose one from the list of past mails.',
  'mailPage.problem.time': 'No such time',
  'mailPage.problem.time.detail':
    'Enter a weekday, from 1 for Monday to 7 for Sunday, and a time of day such as 07:00.',
} as const
