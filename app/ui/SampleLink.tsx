import { formatKitCode } from '@/lib/custody/kitCode'
import { Link } from './Link'

/** A link to a sample, named by its kit code. `code` is canonical. */
export function SampleLink({ code }: { code: string }) {
  return (
    <Link href={`/samples/${encodeURIComponent(code)}`} className="whole">
      {formatKitCode(code)}
    </Link>
  )
}
