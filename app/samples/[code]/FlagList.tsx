import { isEventKind } from '@/lib/custody/event'
import { KINDS } from '@/lib/custody/eventKinds'
import type { Flag } from '@/lib/custody/flags'
import { personOfSource } from '@/lib/policy/mayRecord'

/** What a person should look at, a sentence each, with links to the events it is about. */
export function FlagList({
  flags,
  anchors,
}: {
  flags: readonly Flag[]
  anchors: ReadonlyMap<string, string>
}) {
  return (
    <ul>
      {[...new Set(flags.map(({ kind, detail }) => detailWords(kind, detail)))].map((words) => (
        <li key={words}>
          {words}{' '}
          {flags
            .filter(({ kind, detail }) => detailWords(kind, detail) === words)
            .flatMap(({ events }) => events)
            .map((key) => (
              <EventLink key={key} name={key} anchors={anchors} />
            ))}
        </li>
      ))}
    </ul>
  )
}

/** The finding with kinds of events named as everywhere on the page. */
function detailWords(kind: Flag['kind'], detail: string): string {
  if (kind === 'unknown limit') return detail
  return detail.replace(
    /"([a-z ]+)"/g,
    (_, named: string) => `“${isEventKind(named) ? KINDS[named].happened : named}”`,
  )
}

/** The key of an event, as a link where the event is on this page. */
export function EventLink({ name, anchors }: { name: string; anchors: ReadonlyMap<string, string> }) {
  const anchor = anchors.get(name)
  // The id of what was recorded by hand says nothing to anyone.
  const words = personOfSource(name) === null ? name : 'a report by hand'
  return <>{anchor ? <a href={`#${anchor}`}>{words}</a> : words} </>
}
