import { Instant } from '@/app/ui/Instant'
import table from '@/app/ui/Table.module.css'
import type { ListedPasskey } from '@/lib/store/people/sessions'

/** A person's passkeys, with a button to remove each. */
export function PasskeyList({
  passkeys,
  zone,
  now,
}: {
  passkeys: readonly ListedPasskey[]
  zone: string
  now: number
}) {
  return (
    <section aria-labelledby="passkeys">
      <h2 id="passkeys">Passkeys</h2>
      <p>A passkey signs you in with this device’s own lock, with no mail.</p>
      {passkeys.length > 0 && (
        <table className={table.table}>
          <caption>Yours</caption>
          <thead>
            <tr>
              <th scope="col">Name</th>
              <th scope="col">Since</th>
              <th scope="col">
                <span className="unseen">Remove it</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {passkeys.map(({ id, name, sinceAt }) => (
              <tr key={id}>
                <th scope="row">{name}</th>
                <td>
                  <Instant at={sinceAt} zone={zone} now={now} />
                </td>
                <td>
                  <form method="post" action="/api/me/passkeys">
                    <input type="hidden" name="id" value={id} />
                    <button type="submit">Remove</button>
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
