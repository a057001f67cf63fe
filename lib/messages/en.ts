import { account } from './en/account'
import { arrivals } from './en/arrivals'
import { audit } from './en/audit'
import { board } from './en/board'
import { common } from './en/common'
import { due } from './en/due'
import { hold } from './en/hold'
import { keys } from './en/keys'
import { laneChart } from './en/laneChart'
import { lanes } from './en/lanes'
import { people } from './en/people'
import { schedule } from './en/schedule'
import { scores } from './en/scores'
import { setup } from './en/setup'
import { setupFaults } from './en/setupFaults'
import { setupForms } from './en/setupForms'
import { setupPeople } from './en/setupPeople'
import { ship } from './en/ship'
import { shipChoice } from './en/shipChoice'
import { signIn } from './en/signIn'
import { site } from './en/site'
import { standing } from './en/standing'
import { strip } from './en/strip'
import { time } from './en/time'
import { turnaround } from './en/turnaround'
import { unplacedReason } from './en/unplacedReason'

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
  ...laneChart,
  ...lanes,
  ...people,
  ...schedule,
  ...scores,
  ...setup,
  ...setupFaults,
  ...setupForms,
  ...setupPeople,
  ...ship,
  ...shipChoice,
  ...signIn,
  ...site,
  ...standing,
  ...strip,
  ...time,
  ...turnaround,
  ...unplacedReason,
} as const
