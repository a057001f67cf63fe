import { useTranslate } from '#translate'
import { Link } from '@/app/ui/Link'
import { rich } from '@/app/ui/language/rich'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { TickRow } from './tickRow'

/** A sample to tick. Its page opens in a new tab, since the form would lose what was typed. */
export function TickItem({
  row: { code, details, whereabouts, headline, caution, isUrgent, isTicked },
}: {
  row: TickRow
}) {
  const t = useTranslate()
  return (
    <>
      <label>
        <input type="checkbox" name="sample" value={code} defaultChecked={isTicked} />
        <span>
          <code>{formatKitCode(code)}</code> <span data-urgent={isUrgent}>{headline}</span>
          <small>{details}</small>
          <small>{whereabouts}</small>
          {caution && <small data-urgent="true">{caution}</small>}
        </span>
      </label>
      <Link href={`/samples/${code}`} target="_blank">
        {rich(t, 'record.sample.open', {
          unseen: (text) => <span className="unseen">{text}</span>,
          code: formatKitCode(code),
        })}
      </Link>
    </>
  )
}
