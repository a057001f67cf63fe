import type { AnswerRow } from '@/lib/intake/answers/answer'

/** A wire event as the clients of the torture send it. Texts only, so that what was stored can be compared with it. */
export type SentEvent = Record<string, string> & { source: string; id: string; kind: string; at: string }

/** A mail as a mail server took it in full: for whom, and what for (an ISO week, or the key of an alert). */
export interface TakenMail {
  to: string
  occasion: string
}

/** What was sent to a programme, and what the programme said to have stored. The judge holds the ledger against it. */
export class SentRecord {
  /**
   * By `source/id`, null where the content is not to be compared. An event that was sent and not acknowledged may be in
   * the ledger, or not.
   */
  readonly sent = new Map<string, SentEvent | null>()
  /** `source/id` of each event of which an answer said that it is stored. */
  readonly acknowledged = new Set<string>()
  /** Answers that no torment excuses: a 5xx other than 503, a valid event refused, an answer that cannot be read. */
  readonly wrongAnswers: string[] = []
  readonly mails: TakenMail[] = []

  send(events: readonly SentEvent[]) {
    for (const event of events) this.sent.set(`${event.source}/${event.id}`, event)
  }

  /** Notes what became of each item of a body. `isValid`: the sender knows that nothing may be refused. */
  hear(rows: readonly AnswerRow[], isValid: boolean) {
    for (const row of rows) {
      if (row.result !== 'refused') this.acknowledged.add(row.event)
      else if (isValid) this.wrongAnswers.push(`refused: ${row.problem?.detail ?? 'without a reason'}`)
    }
  }
}
