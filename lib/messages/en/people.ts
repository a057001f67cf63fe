/** What keeps a person, or a list of people, from being changed. */
export const people = {
  'people.fault.known': '{email} already exists. Change that person instead.',
  'people.fault.gone': 'This person no longer exists.',
  'people.fault.lastAdministrator':
    'This is the last administrator. Make someone else an administrator first.',
  'people.fault.taken': '{email} belongs to someone else.',
  'people.fault.noAdministrator':
    'No administrator would be left. Make someone else an administrator before you change {email}.',
  'people.fault.noName': 'name: {email} is new; enter a name.',
  'people.fault.roleLoss':
    '{email} would lose a role, and line {line, number}, which cannot be read, may be about them. Correct that line first.',
} as const
