import { useTranslate } from '#translate'
import { Instant } from '@/app/ui/Instant'
import table from '@/app/ui/Table.module.css'
import type { ListedPasskey } from '@/lib/store/people/sessions'

/** A person's passkeys, each with a button that removes it. `now` in ms UTC. */
export function PasskeyList({
  passkeys,
  zone,
  now,
}: {
  passkeys: readonly ListedPasskey[]
  zone: string
  now: number
}) {
  const t = useTranslate()
  return (
    <section aria-labelledby="passkeys">
      <h2 id="passkeys">{t('account.passkeys.title')}</h2>
      <p>{t('account.passkeys.intro')}</p>
      {passkeys.length > 0 && (
        <table className={table.table}>
          <caption>{t('account.passkeys.caption')}</caption>
          <thead>
            <tr>
              <th scope="col">{t('account.passkeys.name')}</th>
              <th scope="col">{t('account.passkeys.since')}</th>
              <th scope="col">
                <span className="unseen">{t('account.passkeys.action')}</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {passkeys.map(({ id, name, sinceAt }) => (
              <tr key={id}>
                <th scope="row">{name ?? t('account.passkeys.unnamed')}</th>
                <td>
                  <Instant at={sinceAt} zone={zone} now={now} />
                </td>
                <td>
                  <form method="post" action="/api/me/passkeys">
                    <input type="hidden" name="id" value={id} />
                    <button type="submit">{t('account.passkeys.remove')}</button>
                  </form>
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  )
}
