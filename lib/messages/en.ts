import { account } from './en/account'
import { acts } from './en/acts'
import { alerts } from './en/alerts'
import { arrivals } from './en/arrivals'
import { audit } from './en/audit'
import { board } from './en/board'
import { common } from './en/common'
import { condition } from './en/condition'
import { custody } from './en/custody'
import { due } from './en/due'
import { feed } from './en/feed'
import { hold } from './en/hold'
import { intake } from './en/intake'
import { keys } from './en/keys'
import { laneChart } from './en/laneChart'
import { lanes } from './en/lanes'
import { mail } from './en/mail'
import { mailPage } from './en/mailPage'
import { mailPreferences } from './en/mailPreferences'
import { overdue } from './en/overdue'
import { people } from './en/people'
import { plants } from './en/plants'
import { policy } from './en/policy'
import { receiving } from './en/receiving'
import { record } from './en/record'
import { register } from './en/register'
import { sampleEvents } from './en/sampleEvents'
import { samples } from './en/samples'
import { schedule } from './en/schedule'
import { scores } from './en/scores'
import { server } from './en/server'
import { serverPage } from './en/serverPage'
import { setup } from './en/setup'
import { setupFaults } from './en/setupFaults'
import { setupForms } from './en/setupForms'
import { setupPeople } from './en/setupPeople'
import { ship } from './en/ship'
import { shipChoice } from './en/shipChoice'
import { signIn } from './en/signIn'
import { signInMail } from './en/signInMail'
import { site } from './en/site'
import { smtp } from './en/smtp'
import { standing } from './en/standing'
import { strip } from './en/strip'
import { time } from './en/time'
import { turnaround } from './en/turnaround'
import { unplaced } from './en/unplaced'
import { unplacedReason } from './en/unplacedReason'

/** Every sentence a person reads, in English, by its key. ICU message format. */
export const en = {
  ...account,
  ...acts,
  ...alerts,
  ...arrivals,
  ...audit,
  ...board,
  ...common,
  ...condition,
  ...custody,
  ...due,
  ...feed,
  ...hold,
  ...intake,
  ...keys,
  ...laneChart,
  ...lanes,
  ...mail,
  ...mailPage,
  ...mailPreferences,
  ...overdue,
  ...people,
  ...plants,
  ...policy,
  ...receiving,
  ...record,
  ...register,
  ...sampleEvents,
  ...samples,
  ...schedule,
  ...scores,
  ...server,
  ...serverPage,
  ...setup,
  ...setupFaults,
  ...setupForms,
  ...setupPeople,
  ...ship,
  ...shipChoice,
  ...signIn,
  ...signInMail,
  ...site,
  ...smtp,
  ...standing,
  ...strip,
  ...time,
  ...turnaround,
  ...unplaced,
  ...unplacedReason,
} as const
