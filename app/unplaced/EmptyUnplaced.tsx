import { HowToSend } from '@/app/(board)/HowToSend'

/** Why no unplaced event is shown, and what to do about it. */
export function EmptyUnplaced({ isFiltered, isBegun }: { isFiltered: boolean; isBegun: boolean }) {
  if (isFiltered)
    return (
      <p>
        None of them fits this search. <a href="/unplaced">Clear it</a> to see all.
      </p>
    )
  if (isBegun)
    return <p>Nothing waits here. What comes in with a wrong code, or before its kit, will be shown.</p>
  return <HowToSend />
}
