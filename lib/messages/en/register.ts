/** What can be wrong with the register, or with a change of it. */
export const register = {
  'register.shape': 'This entry does not have the right form. {detail}.',
  'register.missing': 'This is missing.',
  'register.code': 'Enter a code of at least one character.',
  'register.name': 'Enter a name.',
  'register.date': 'Enter a date that exists, such as 2026-11-26.',
  'register.wholeNumber': 'Enter a whole number from {min, number} to {max, number}.',
  'register.zone': 'Enter a zone of the IANA time zone database, such as Europe/Lisbon.',
  'register.instant': 'Enter an instant with its offset, such as 2026-02-20T12:00:00Z.',
  'register.hoursForm': 'Enter hours as 08:00-16:30.',
  'register.hoursSpan': '“{span}” is not a span within one day. Enter hours as 08:00-16:30.',
  'register.hoursOverlap': '“{first}” and “{second}” overlap.',
  'register.weekdays': 'Enter weekdays as mon, tue, wed, thu, fri, sat, sun.',
  'register.temperatureRange': 'The highest temperature is below the lowest.',
  'register.tooManyClosed':
    'A place can be closed on at most {max, number} days. Leave out those that are long past.',
  'register.tooManyHolidays': 'A laboratory can have at most {max, number} holidays.',
  'register.tooFewOpenDays':
    'The laboratory opens on fewer than {min, number} days a year with these holidays. Leave some out.',
  'register.tooManyEntries':
    'This list can have at most {max, number} entries and has {count, number}. Leave out those that are long past.',
  'register.pickupHour': 'Enter the hour as 16:30, in the plant’s local time.',
  'register.pickupDays': 'Give the hour of the pickup on at least one weekday, or leave the entry out.',

  'register.codeTwice': 'The code “{code}” is used twice. It is already used at {first}.',
  'register.pickupsTwice': 'The pickups of this service at this plant are given twice. See {first}.',
  'register.shutdownTwice': 'The shutdown of this plant from that day is given twice. See {first}.',
  'register.noOpeningHours': 'A laboratory opens on at least one weekday. Give it receiving hours.',
  'register.noWorkdays':
    'A plant works on at least one weekday. Name its workdays, or leave them out for Monday to Friday.',
  'register.limitTwice': 'Two limits of this protocol are called “{name}”.',
  'register.thresholds': '“tight” comes before “atRisk”, so it cannot be the larger chance.',
  'register.unknownPlant': 'No plant has the code “{code}”.',
  'register.unknownLaboratory': 'No laboratory has the code “{code}”.',
  'register.unknownService': 'No service has the code “{code}”.',
  'register.unknownProtocol': 'No protocol has the code “{code}”.',
  'register.unknownProduct': 'No product has the code “{code}”.',
  'register.unknownFamily': 'No family has the code “{code}”.',
  'register.unknownKit': 'No kit has the code “{code}”.',
  'register.productOfOther':
    'Plant “{owner}” makes the product “{product}”, but the kit is for plant “{plant}”.',

  'register.members': 'Name the products that belong to the family.',
  'register.memberTwice': '“{member}” is named twice.',
  'register.memberElsewhere':
    '“{member}” already belongs to the family “{family}”. A product belongs to one family only.',
  'register.testedNotMember': '“{tested}” is not a member. The tested product has to be a member.',
  'register.twoMakers':
    'Its members come from different makers. A test of one maker’s product says nothing of another’s.',
  'register.noSubject': 'Name the product or the family that it is for.',
  'register.twoSubjects': 'Name either a product or a family, not both.',
  'register.expiresFirst': 'It expires before it was issued. Check both dates.',
  'register.windowShort':
    'The work of one test takes at least {min, number} days, so a kit has to count from that many days before. Enter {min, number} or more.',
  'register.windowLong':
    'The window is longer than the {months, plural, one {month} other {# months}} between two tests, so a kit would count for two tests. Enter {max, number} or less.',
  'register.windowLongOnce': 'The window is too long. Enter {max, number} days or less.',
  'register.shutdownEnds': 'It ends before it begins. Check both days.',
  'register.shutdownLong': 'It is longer than {max, number} days. Check the years.',

  'register.pastChange':
    'A change holds from now or from a later time. What is past keeps the version that held then.',
  'register.codeTaken': 'The code “{code}” is already taken. Choose another one.',
  'register.entryGone': 'The register has no entry with the code “{code}”.',
  'register.laterVersion':
    '“{code}” has a version that holds only from {from}. Let this one hold from then or later.',
  'register.kitHasEvents':
    'Kit {code} has events, so it stays in the register. If it is not to be used, report it cancelled.',
  'register.placeHasEvents':
    'Events were reported at {code}, and their times are read in its zone. Keep it in the register.',
  'register.zoneAhead':
    'The zone of {code} is {before}. It cannot change to {after} only from {from}, because a zone holds at once for every time that is read in it. Send the change without a later start, or send it at that time.',
} as const
