import { formatKitCode } from '@/lib/custody/kitCode'
import { Link } from './Link'

/** A link to a sample by its kit code (canonical), named by it. */
export function SampleLink({ code }: { code: string }) {
  return (
    <Link href={`/samples/${encodeURIComponent(code)}`} className="whole">
      {formatKitCode(code)}
    </Link>
  )
}
