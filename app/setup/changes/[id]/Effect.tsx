import { useTranslate } from '#translate'
import { SampleLink } from '@/app/ui/SampleLink'
import table from '@/app/ui/Table.module.css'
import { formatInstant } from '@/app/ui/words/instant'
import { spellCount } from '@/app/ui/words/number'
import { formatKitCode } from '@/lib/custody/kitCode'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { Translate } from '@/lib/messages/translate'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { EntryContent } from '@/lib/store/ledger/registerEntries'
import type { ChangeEffect } from '@/lib/store/register/changeRegister'
import type { SampleChange } from '@/lib/store/register/sampleStates'
import styles from '../../Form.module.css'

/** The most rows that a page shows of what would change. */
const MAX_ROWS_SHOWN = 200

/** What a change would do to the register and to samples. `now` in ms UTC. */
export function Effect({
  effect,
  register,
  now,
}: {
  effect: ChangeEffect
  register: RegisterDocument
  now: number
}) {
  const t = useTranslate()
  const { changes, sampleChanges: moves } = effect
  const zones = new Map([...register.plants, ...register.laboratories].map(({ code, zone }) => [code, zone]))
  return (
    <>
      <section className={table.scroll} aria-label="Entries that would change">
        <table className={table.table}>
          <caption>
            {changes.length === 0
              ? 'No entry would change: all of it is in the register as it is.'
              : `${capitalised(spellCount(t, changes.length, 'entry', 'entries'))} of the register`}
          </caption>
          <tbody>
            {changes.slice(0, MAX_ROWS_SHOWN).map(({ kind, code, before, content }) => (
              <tr key={`${kind} ${code}`}>
                <th scope="row">
                  {before === null ? 'add' : content === null ? 'take out' : 'change'} {kind}{' '}
                  {kind === 'kit' ? formatKitCode(code) : code}
                </th>
                <td>
                  {content !== null &&
                    listDifferences(t, before, content).map((line) => <div key={line}>{line}</div>)}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <section className={`${table.scroll} ${styles.apart}`} aria-label="Samples that would move">
        <table className={table.table}>
          <caption>
            {moves.length === 0
              ? 'No due moves, and no sample stands otherwise.'
              : `${capitalised(spellCount(t, moves.length, 'sample'))} would move`}
          </caption>
          <tbody>
            {moves.slice(0, MAX_ROWS_SHOWN).map((move) => (
              <tr key={move.code}>
                <th scope="row">
                  <SampleLink code={move.code} />
                </th>
                <td>
                  {move.dues.map((due) => (
                    <div key={due.limit}>
                      {formatDueChange(
                        t,
                        due,
                        zones.get(due.zoneOf === 'plant' ? move.plant : move.laboratory) ?? 'UTC',
                        now,
                      )}
                    </div>
                  ))}
                </td>
                <td>{formatStandingChange(t, move)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      {moves.length > 0 && (
        <p>
          How each stands is told here by the share of its time that is used; its chance to miss a limit is
          worked out anew once the change is made.
        </p>
      )}
      {Math.max(changes.length, moves.length) > MAX_ROWS_SHOWN && (
        <p>Of each list the first {MAX_ROWS_SHOWN} are shown.</p>
      )}
    </>
  )
}

type Due = SampleChange['dues'][number]

/** How one due moves: "cut to dock: due Mon 9 Nov 23:59 New York → Tue 10 Nov 23:59 New York". */
function formatDueChange(t: Translate, { limit, beforeAt, afterAt }: Due, zone: string, now: number): string {
  const when = (at: number | null) => (at === null ? 'none' : formatInstant(t, at, zone, now))
  return `${limit}: due ${when(beforeAt)} → ${when(afterAt)}`
}

/** How a sample's standing changes: "sound → tight", or that it stays. */
function formatStandingChange(
  t: Translate,
  { before, after }: Pick<SampleChange, 'before' | 'after'>,
): string {
  return before === after ? `stays ${after}` : `${before} → ${after}`
}

/** What an entry says otherwise than before, a line for each of its members; all of it where it is new. */
function listDifferences(t: Translate, before: EntryContent | null, after: EntryContent): string[] {
  const names = [...new Set([...Object.keys(before ?? {}), ...Object.keys(after)])]
  return names.flatMap((name) => {
    const [old, fresh] = [formatValue(before?.[name]), formatValue(after[name])]
    if (old === fresh) return []
    return [before === null || old === '' ? `${name}: ${fresh}` : `${name}: ${old} → ${fresh || 'nothing'}`]
  })
}

/** A value as short text: lists by their members, objects by theirs. */
function formatValue(value: unknown): string {
  if (value === undefined || value === null) return ''
  if (Array.isArray(value)) return value.map(formatValue).join('; ')
  if (typeof value !== 'object') return String(value)
  return Object.entries(value)
    .filter(([, member]) => member !== undefined)
    .map(([name, member]) => `${name} ${formatValue(member)}`)
    .sort()
    .join(', ')
}
