import { arrivals } from './en/arrivals'
import { board } from './en/board'
import { common } from './en/common'
import { due } from './en/due'
import { hold } from './en/hold'
import { schedule } from './en/schedule'
import { setup } from './en/setup'
import { setupFaults } from './en/setupFaults'
import { setupForms } from './en/setupForms'
import { setupPeople } from './en/setupPeople'
import { site } from './en/site'
import { standing } from './en/standing'
import { time } from './en/time'

/** Every sentence a person reads, in English, by its key. ICU message format. */
export const en = {
  ...arrivals,
  ...board,
  ...common,
  ...due,
  ...hold,
  ...site,
  ...schedule,
  ...standing,
  ...setup,
  ...setupFaults,
  ...setupForms,
  ...setupPeople,
  ...time,
import { account } from './en/account'
import { audit } from './en/audit'
import { keys } from './en/keys'
import { people } from './en/people'
import { signIn } from './en/signIn'
  ...account,
  ...audit,
  ...keys,
  ...people,
  ...signIn,
} as const
