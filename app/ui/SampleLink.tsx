import Link from 'next/link'
import { displayCode } from '@/lib/custody/kitCode'
import { Pending } from './Pending'

/** A link to a sample by its kit code (canonical), named by it. */
export function SampleLink({ code }: { code: string }) {
  return (
    <Link href={`/samples/${encodeURIComponent(code)}`} className="whole" prefetch={false}>
      {displayCode(code)}
      <Pending />
    </Link>
  )
}
