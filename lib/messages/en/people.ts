/** What keeps a person, or a list of people, from being changed. */
export const people = {
  'people.fault.known': '{email} already exists. Change that person instead.',
  'people.fault.gone': 'This person no longer exists.',
  'people.fault.lastAdministrator':
    'This is the last administrator. Make someone else an administrator first.',
  'people.fault.taken': '{email} belongs to someone else.',
  'people.fault.noAdministrator':
    'No administrator would be left. Make someone else an administrator before you change {email}.',
  'people.fault.noName': '{email} is new. Write a name for this person.',
  'people.fault.roleLoss':
    '{email} would lose a role, but line {line, number} cannot be read and may concern the same person. Correct that line first.',
} as const
