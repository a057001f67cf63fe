import { Instant } from '@/app/ui/Instant'
import table from '@/app/ui/Table.module.css'
import type { digestFates } from '@/lib/store/mail/digestFates'
import { fateWords } from './digestWords'
import { occasionWords } from './occasionWords'

interface Props {
  past: Awaited<ReturnType<typeof digestFates>>
  /** They are the weekly ones only. */
  isWeekly: boolean
  /** Of whom, where that was asked for. */
  of: string | null
  now: number
}

/** What became of mails, each with a link to how it was sent. */
export function PastMails({ past, isWeekly, of, now }: Props) {
  if (past.length === 0 && !isWeekly) return <p>No mail has been due yet.</p>
  const asks = new URLSearchParams({
    ...(of === null ? {} : { of }),
    ...(isWeekly ? {} : { only: 'weekly' }),
  })
  return (
    <section aria-labelledby="past">
      <h2 id="past">What became of them</h2>
      <p>
        <a href={`/digest?${asks}#past`}>{isWeekly ? 'Those at once too' : 'Weekly ones only'}</a>
      </p>
      <div className={table.scroll}>
        <table className={`${table.table} ${table.stack}`}>
          <caption>Newest first. How each read is kept for half a year.</caption>
          <thead>
            <tr>
              <th scope="col">To</th>
              <th scope="col">For</th>
              <th scope="col">Due</th>
              <th scope="col">What became of it</th>
              <th scope="col">As sent</th>
            </tr>
          </thead>
          <tbody>
            {past.map((mail) => (
              <tr key={`${mail.personId} ${mail.occasion}`}>
                <th scope="row">
                  {mail.name}
                  {mail.address && <span className={table.quiet}>{mail.address}</span>}
                </th>
                <td data-head="for">{occasionWords(mail.occasion, mail.more)}</td>
                <td data-head="due">
                  <Instant at={mail.dueAt} zone="UTC" now={now} />
                </td>
                <td data-head="what became of it">
                  {fateWords(mail)}
                  {mail.said && <span className={table.quiet}>{mail.said}</span>}
                </td>
                <td data-head="as sent">
                  {(mail.subject !== null || mail.state === 'uncertain' || mail.emptiedAt !== null) && (
                    <a
                      href={`/digest?${new URLSearchParams({ of: mail.personId, mail: mail.occasion })}#mail`}
                    >
                      {mail.subject ?? (mail.emptiedAt === null ? 'What is known of it' : 'No longer kept')}
                    </a>
                  )}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  )
}
