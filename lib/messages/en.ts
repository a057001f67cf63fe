import { account } from './en/account'
import { arrivals } from './en/arrivals'
import { audit } from './en/audit'
import { board } from './en/board'
import { common } from './en/common'
import { due } from './en/due'
import { hold } from './en/hold'
import { keys } from './en/keys'
import { people } from './en/people'
import { schedule } from './en/schedule'
import { setup } from './en/setup'
import { setupFaults } from './en/setupFaults'
import { setupForms } from './en/setupForms'
import { setupPeople } from './en/setupPeople'
import { signIn } from './en/signIn'
import { site } from './en/site'
import { standing } from './en/standing'
import { time } from './en/time'

/** Every sentence a person reads, in English, by its key. ICU message format. */
export const en = {
  ...account,
  ...arrivals,
  ...audit,
  ...board,
  ...common,
  ...due,
  ...hold,
  ...keys,
  ...people,
  ...schedule,
  ...setup,
  ...setupFaults,
  ...setupForms,
  ...setupPeople,
  ...signIn,
  ...site,
  ...standing,
  ...time,
} as const
