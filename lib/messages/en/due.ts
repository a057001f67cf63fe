/** What is due and overdue, and what is set aside. */
export const due = {
  'due.title': 'What is due',
  // {number} is spelled out up to twelve.
  'due.heading.mine':
    '{count, plural, one {{number} overdue task is yours to do.} other {{number} overdue tasks are yours to do.}}',
  'due.heading.others':
    'Nothing overdue is yours to do; {count, plural, one {# task waits} other {# tasks wait}} for others.',
  'due.heading.none': 'Nothing is overdue.',
  'due.heading.noMatch': 'Nothing that is due matches this filter.',
  'due.summary.pressing':
    '{count, plural, one {# task of yours is not overdue but cannot wait.} other {# tasks of yours are not overdue but cannot wait.}}',
  'due.summary.others': '{count, plural, one {# more waits for others.} other {# more wait for others.}}',
  'due.summary.setAside': '{count, plural, one {# is set aside.} other {# are set aside.}}',
  'due.summary.coming':
    '{count, plural, =0 {No step is due within two weeks.} one {# step is due within two weeks.} other {# steps are due within two weeks.}}',
  'due.gone': 'Nothing was set aside: it is no longer overdue.',
  'due.missingRange':
    'Receipts under protocol {protocol} tell temperatures, but it does not say which are right. <link>Enter the range</link>.',
  'due.clearFilter': '<clear>Clear it</clear> to see all that is due.',
  'due.empty.allDone':
    'All is done: nothing is overdue, and no test has a first step due within three months.',
  'due.empty.noDuty':
    'No test is scheduled yet. The testing schedule says when a product, or one product of a family, is to be tested and how often; the day of each step follows from it. <link>Schedule the first test</link>.',
  'due.empty.noTest':
    'No test is scheduled for you yet. As soon as an administrator schedules one, each of its steps appears here with its day.',

  'due.filter.plant': 'Plant',
  'due.filter.anyPlant': 'Any',
  'due.filter.owner': 'Responsible',
  'due.filter.anyone': 'Anyone',
  'due.filter.show': 'Show',
  'due.filter.clear': 'Clear',
  'due.owner.me': 'Me',
  'due.owner.programme': 'The programme',
  'due.owner.plant': 'Plants',
  'due.owner.laboratory': 'Laboratories',

  'due.mine': 'Yours to do',
  'due.mineOrder':
    'What can still be saved comes first, the most urgent at the top; then what is only late, the latest to become so at the top.',
  'due.next': 'Yours next',
  'due.next.now': 'At once',
  'due.next.meanwhile': 'Meanwhile',
  'due.next.daysAhead': '{days, plural, =0 {Today} =1 {Tomorrow} other {In # days}}',
  'due.others': 'Waiting for others',
  'due.groupCount': '{count, plural, one {# task} other {# tasks}}',
  'due.daysAgo': '{days, plural, =0 {Today} one {# day} other {# days}}',
  'due.daysAhead': '{days, plural, =0 {today} =1 {tomorrow} other {in # days}}',
  'due.since': 'since {day}, {place}',
  'due.holdLimit': 'Its hold limit is {deadline}.',
  'due.reportDue': 'report due {day}',
  'due.more.tasks':
    '{count, plural, one {# more task is not shown.} other {# more tasks are not shown.}} Choose a plant or who is responsible above to see fewer at once, or <link>show all</link>.',
  'due.more.tests':
    '{count, plural, one {# more test is not shown.} other {# more tests are not shown.}} Choose a plant or who is responsible above to see fewer at once, or <link>show all</link>.',
  'due.more.steps':
    '{count, plural, one {# more step is not shown.} other {# more steps are not shown.}} Choose a plant or who is responsible above to see fewer at once, or <link>show all</link>.',

  'due.setAside.title': 'Set aside',
  'due.setAside.open': 'Set aside until …',
  'due.setAside.change': 'Change',
  'due.setAside.reason': 'Why it can wait',
  'due.setAside.until': 'Until the end of this day, in {place}',
  'due.setAside.submit': 'Set aside',
  'due.setAside.hint':
    'Nobody is asked for it before then. It can wait at most {days, plural, one {# day} other {# days}}. The audit log keeps the reason.',
  'due.setAside.untilDay': 'until {day}',
  'due.setAside.reasonBy': '“{reason}” <by>{name}, {day}</by>',
  'due.setAside.responsible': 'Responsible: {name}',

  'due.days.title': 'Day by day',
  'due.days.none': 'Nothing is due within four weeks.',
  'due.days.later': '{count, number} more due later',
  'due.step.mine': '{act}, yours to do',
  'due.step.others': '{act}, by {name}',
  'due.step.earlierOverdue': 'an earlier step is overdue',
  'due.step.earlierSetAside': 'an earlier step is set aside',

  'due.weeks.title': 'Week by week',
  'due.weeks.legend':
    'Each line is one test, up to its last step. {plant} a step at the plant, {other} at the laboratory or the programme, {report} its report. {late} part of the test is overdue.',
  'due.weeks.week': 'W{week}',
  'due.weeks.overdue': 'Overdue: {act}',
  'due.weeks.setAside': 'Set aside: {act}',
  'due.weeks.reportDue': 'Report due {day}',
  'due.weeks.mine': 'By {day}, yours',
  'due.weeks.others': 'By {day}, {name}',

  'due.calendar.title': 'In your own calendar',
  'due.calendar.intro':
    'A calendar program can show what is due at a plant. Create an address here and subscribe to it there. Whoever has the address sees what the plant’s contacts see of what is due, so share it with nobody. It works until it is revoked, or until the person who created it may no longer see what is due at the plant.',
  'due.calendar.newAddress': 'Address of {plant}’s calendar',
  'due.calendar.copyNow':
    'Copy it now: it is shown only once and cannot be looked up later. If you lose it, revoke it and create another.',
  'due.calendar.alreadyShown': 'This address has already been shown. Create another, and revoke the first.',
  'due.calendar.notYours':
    'No address was created: the plant is not one of yours. Choose one of those below.',
  'due.calendar.enough':
    '{max, plural, one {You already have # address of this plant. Revoke it first.} other {You already have # addresses of this plant. Revoke one first.}}',
  'due.calendar.revoked': 'Revoked. Calendars that use the address get nothing from it any more.',
  'due.calendar.notFound': 'There was no such address to revoke.',
  'due.calendar.plant': 'Plant',
  'due.calendar.create': 'Create an address',
  'due.calendar.createFor': 'Create an address for {plant}',
  'due.calendar.neverRead': '{plant}: created by {name} {created}, never read.',
  'due.calendar.lastRead': '{plant}: created by {name} {created}, last read {read}.',
  'due.calendar.notWorking':
    'It does not work: the person who created it may no longer see what is due at the plant.',
  'due.calendar.revoke': 'Revoke <unseen>the address of {plant} by {name}</unseen>',
  'due.calendar.revokeHint': 'Calendars that read it get nothing from it any more, from now on and for good.',
  'due.calendar.revokeNow': 'Revoke now',
} as const
