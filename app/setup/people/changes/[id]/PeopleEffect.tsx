import table from '@/app/ui/Table.module.css'
import { countOf } from '@/app/ui/words/numberWords'
import type { PeoplePlan, PlannedPerson } from '@/lib/access/people/planPeople'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { KnownPerson } from '@/lib/store/people/people'
import styles from '../../../Form.module.css'
import { roleWords } from '../../../personState'

/** The most rows that a page shows of each kind. */
const MOST_SHOWN = 500

/** What a list of people would do: who is added, changed, stays, and which lines are refused and why. */
export function PeopleEffect({ plan }: { plan: PeoplePlan }) {
  const { added, changed, unchanged, refused } = plan
  return (
    <>
      {refused.length > 0 && (
        <div className={styles.wrongs}>
          <p>
            {capitalised(countOf(refused.length, 'line'))} refused; whoever they are about stays as they are,
            and the others can be entered without them:
          </p>
          {refused.slice(0, MOST_SHOWN).map(({ line, detail }) => (
            <p key={`${line} ${detail}`}>
              line {line}: {detail}
            </p>
          ))}
        </div>
      )}
      <People heading="added" people={added} />
      <People heading="changed" people={changed} />
      <People heading="unchanged" people={unchanged} />
      {Math.max(refused.length, added.length, changed.length, unchanged.length) > MOST_SHOWN && (
        <p>Of each list the first {MOST_SHOWN} are shown.</p>
      )}
    </>
  )
}

const CAPTIONS = {
  added: ['would be added', 'Nobody would be added.'],
  changed: ['would be changed', 'Nobody would be changed.'],
  unchanged: ['named and the same as now', ''],
} as const

function People({ heading, people }: { heading: keyof typeof CAPTIONS; people: readonly PlannedPerson[] }) {
  const [words, none] = CAPTIONS[heading]
  if (people.length === 0) return none === '' ? null : <p>{none}</p>
  return (
    <section className={`${table.scroll} ${styles.apart}`} aria-label={`People ${words}`}>
      <table className={`${table.table} ${table.stack}`}>
        <caption>{`${capitalised(countOf(people.length, 'person', 'people'))} ${words}`}</caption>
        <tbody>
          {people.slice(0, MOST_SHOWN).map(({ before, after }) => (
            <tr key={after.email}>
              <th scope="row">{after.email}</th>
              <td>
                {heading === 'unchanged'
                  ? after.name
                  : personDifferences(before, after).map((line) => <div key={line}>{line}</div>)}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

/** What a person is otherwise than before, a line each; all of it where they are new. */
function personDifferences(before: KnownPerson | null, after: KnownPerson): string[] {
  const [old, fresh] = [before && wordsOf(before), wordsOf(after)]
  return Object.entries(fresh).flatMap(([name, words]) => {
    const was = old?.[name as keyof typeof fresh]
    if (was === undefined) return words === 'may sign in' ? [] : [`${name}: ${words}`]
    return was === words ? [] : [`${name}: ${was} → ${words}`]
  })
}

function wordsOf({ name, zone, roles, hasLeft }: KnownPerson) {
  return {
    name,
    zone,
    is: roleWords(roles),
    'sign-in': hasLeft ? 'has left, may sign in no more' : 'may sign in',
  }
}
