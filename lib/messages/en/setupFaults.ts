/** What the forms and lists of the set-up find wrong, and what would be right. */
export const setupFaults = {
  'setup.fault.choose': 'Choose one.',
  'setup.fault.email': 'Enter an e-mail address, such as name@example.org.',
  'setup.fault.mailbox': 'Enter an e-mail address, such as name@example.org, or leave it empty.',
  'setup.fault.zone': 'Enter a time zone, such as Europe/Lisbon.',
  'setup.fault.noWorkday': 'Choose at least one weekday.',
  'setup.fault.count': 'Enter a number from 1 to {max, number}.',
  'setup.fault.holdsFrom':
    'Enter a day after today, or leave it empty for now: the past keeps what was valid then.',
  'setup.fault.shutdownExists':
    'A shutdown of this plant already begins on this day; change that one instead.',
  'setup.fault.pickupsExist': 'This service already has pickups at this plant; change those instead.',
  'setup.fault.postedDay': 'Enter the day it was posted.',
  'setup.fault.postedOtherwise': 'Choose “on this day”, or leave the day empty.',

  'setup.fault.closureDate':
    '“{line}” is not a date; enter 2026-11-26, or 2026-12-24 to 2027-01-01 for several days.',
  'setup.fault.closureOrder': '“{line}” ends before it begins.',
  'setup.fault.closureTooLong': '“{line}” is longer than {days, number} days; check the years.',
  'setup.fault.holiday': '“{line}” is not a rule. {example}',

  'setup.fault.degrees': 'Enter degrees Celsius from {min, number} to {max, number}.',
  'setup.fault.grade': 'Write one of these or nothing: {grades}.',
  'setup.fault.chance': 'Enter a chance above 0 and up to 100 per cent, or leave it empty.',
  'setup.fault.noLimit': 'A protocol needs at least one hold limit; fill in a row.',
  'setup.fault.limitName': 'Enter a name for the limit, such as “cut to chamber”.',
  'setup.fault.limitAmount': 'Enter a whole number, such as 10.',
  'setup.fault.limitAtLeast': 'Enter a whole number, such as 2, or leave it empty.',
  'setup.fault.limitExtendable': 'Write “no” if it may not be extended, else leave it empty.',
  'setup.fault.limitCounted': 'Choose how it is counted: {choices}.',
  'setup.fault.manyLimits': 'A protocol has at most {max, number} limits; {code} has {count, number}.',

  'setup.fault.column': 'Column {column}: {problem}',
  'setup.fault.cellCount':
    '{cells, plural, one {The row has # cell} other {The row has # cells}}; the header has {columns, number}.',
  'setup.fault.repeatedCode': '{code} is already on line {line, number}.',
  'setup.fault.noHeader': 'There is no header. Begin with the line: {columns}',
  'setup.fault.unknownColumns':
    '{count, plural, one {There is no column “{names}”.} other {There are no columns “{names}”.}} Choose from: {columns}',
  'setup.fault.repeatedColumn': 'The header names a column twice.',
  'setup.fault.otherVersion':
    'Another version of Holdfast checked this and found a fault. Send the form again to see what is wrong.',
  'setup.fault.missingColumn': 'The column “{column}” is missing from the header.',
  'setup.fault.rolePlaceColumns': 'The columns “role” and “place” go together; use both or neither.',
  'setup.fault.headerLine': 'Line {line, number} should name the columns. {fault}',

  'setup.fault.manyLines': 'A list can have at most {max, number} lines; send it in parts.',
  'setup.fault.manyPeople': 'A list can have at most {max, number} people; send it in parts.',
  'setup.fault.longName': 'Column name: Enter at most {max, number} characters.',
  'setup.fault.zoneCell': 'Column zone: “{zone}” is not a time zone; enter one such as Europe/Lisbon.',
  'setup.fault.emailCell': 'Column email: Enter an e-mail address, such as name@example.org.',
  'setup.fault.leftCell': 'Column left: Enter yes if the person has left, no if not, or leave it empty.',
  'setup.fault.contradiction':
    'Column {column}: an earlier line of {email} has “{value}”; enter the same, or leave it empty.',
  'setup.fault.repeatedRole': 'An earlier line already gives {email} this role; remove line {line, number}.',
  'setup.fault.roleMissing': 'Column role: Enter the person’s role at {place}.',
  'setup.fault.roleUnknown': 'Column role: “{role}” is not a role; enter one of these: {roles}.',
  'setup.fault.placeSurplus': 'Column place: The role {role} has no place; leave it empty.',
  'setup.fault.plantMissing': 'Column place: Enter the code of the plant.',
  'setup.fault.laboratoryMissing': 'Column place: Enter the code of the laboratory.',
  'setup.fault.plantUnknown': 'Column place: No plant in the register has the code “{code}”.',
  'setup.fault.laboratoryUnknown': 'Column place: No laboratory in the register has the code “{code}”.',
} as const
