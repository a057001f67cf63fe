import { SampleLink } from '@/app/ui/SampleLink'
import table from '@/app/ui/Table.module.css'
import { capitalised, countOf } from '@/app/ui/words/numberWords'
import { displayCode } from '@/lib/custody/kitCode'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { ChangeEffect } from '@/lib/store/register/changeRegister'
import styles from '../../Form.module.css'
import { differences } from './differences'
import { dueMoveWords, standingMoveWords } from './moveWords'

/** The most rows that a page shows of what would change. */
const MOST_SHOWN = 200

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
  const { changes, moves } = effect
  const zones = new Map([...register.plants, ...register.laboratories].map(({ code, zone }) => [code, zone]))
  return (
    <>
      <section className={table.scroll} aria-label="Entries that would change">
        <table className={table.table}>
          <caption>
            {changes.length === 0
              ? 'No entry would change: all of it is in the register as it is.'
              : `${capitalised(countOf(changes.length, 'entry', 'entries'))} of the register`}
          </caption>
          <tbody>
            {changes.slice(0, MOST_SHOWN).map(({ kind, code, before, content }) => (
              <tr key={`${kind} ${code}`}>
                <th scope="row">
                  {before === null ? 'add' : content === null ? 'take out' : 'change'} {kind}{' '}
                  {kind === 'kit' ? displayCode(code) : code}
                </th>
                <td>
                  {content !== null &&
                    differences(before, content).map((line) => <div key={line}>{line}</div>)}
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
              : `${capitalised(countOf(moves.length, 'sample'))} would move`}
          </caption>
          <tbody>
            {moves.slice(0, MOST_SHOWN).map((move) => (
              <tr key={move.code}>
                <th scope="row">
                  <SampleLink code={move.code} />
                </th>
                <td>
                  {move.dues.map((due) => (
                    <div key={due.limit}>
                      {dueMoveWords(
                        due,
                        zones.get(due.zoneOf === 'plant' ? move.plant : move.laboratory) ?? 'UTC',
                        now,
                      )}
                    </div>
                  ))}
                </td>
                <td>{standingMoveWords(move)}</td>
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
      {Math.max(changes.length, moves.length) > MOST_SHOWN && (
        <p>Of each list the first {MOST_SHOWN} are shown.</p>
      )}
    </>
  )
}
