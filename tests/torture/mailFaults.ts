import { dropDatabase, ensureDatabase, withDatabase } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { listEnded, type MailRound, prepareMailRounds, runMailRound } from '@/tests/digest/mailRound'
import { WEEK } from '@/tests/digest/programme'
import { chanceFrom } from '@/tests/reference/random'
import { connect } from '@/tests/setup/database'
import type { Torment } from './torment'
import type { Victim } from './victim'

export const mailFaults: Torment = {
  name: 'mail faults',
  what: 'The mail server hangs up at every step, and two senders are killed and lose their database, until every mail has its end.',
  round: 'the mails of a week to eight people',
  rounds: 10,
  shortRounds: 1,
  mostRoundSeconds: 120,
  async run({ rounds, seed, shared, tell }) {
    const victim = await shared()
    const url = withDatabase(await victim.databaseUrl(), 'torture_mails')
    await ensureDatabase(url)
    await migrate({ url })
    const { close, ...database } = connect(url)
    const total = { cuts: 0, kills: 0, losses: 0 }
    try {
      const emails = await prepareMailRounds(database)
      const chance = chanceFrom(seed)
      for (let number = 1; number <= rounds; number++) {
        const round = await runMailRound(database, emails, chance)
        for (const key of ['cuts', 'kills', 'losses'] as const) total[key] += round.done[key]
        note(victim, round, number)
        if (number % 5 === 0) tell(`${number} of ${rounds} weeks`)
      }
    } finally {
      await close()
      await dropDatabase(url, true)
    }
    return {
      did: `${rounds} weeks: hung up ${total.cuts} times, killed ${total.kills} senders, cut ${total.losses} of their connections to the database.`,
    }
  },
}

/** Notes every mail that ended, for the judge, and every state that does not say the truth about it. */
function note({ record }: Victim, round: MailRound, number: number) {
  for (const { email, state } of round.states) {
    const ended = listEnded(round, email)
    for (const { to } of ended) record.mails.push({ to, occasion: `${WEEK}, round ${number}` })
    const isKnown = state === 'sent' && ended.some(({ isAnswered }) => isAnswered)
    const isInDoubt = state === 'uncertain' && (ended.length > 0 || round.diedInHandover.has(email))
    if (!isKnown && !isInDoubt)
      record.wrongAnswers.push(
        `round ${number}: the mail to ${email} is "${state}" although ${ended.length} arrived`,
      )
  }
}
