import { Day } from '@/app/ui/Instant'
import { Link } from '@/app/ui/Link'
import table from '@/app/ui/Table.module.css'
import type { badAddresses } from '@/lib/store/mail/badAddresses'

interface Props {
  bad: Awaited<ReturnType<typeof badAddresses>>
  now: number
}

/** The addresses that get no mail until someone puts them right; nothing where all is well. */
export function BadAddresses({ bad, now }: Props) {
  if (bad.length === 0) return null
  return (
    <section aria-labelledby="bad">
      <h2 id="bad">Addresses to put right</h2>
      <p>A mail server refused them for good. Until they are put right these people get no mail.</p>
      <ul>
        {bad.map(({ personId, name, address, said, at }) => (
          <li key={personId}>
            <Link href={`/setup/people/${personId}`}>{name}</Link>, {address}, since{' '}
            <Day at={at} zone="UTC" now={now} />
            {said && <span className={table.quiet}>{said}</span>}
          </li>
        ))}
      </ul>
    </section>
  )
}
