import type { Flag } from '@/lib/custody/flags'

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
      {flags.map((flag) => (
        <li key={`${flag.kind} ${flag.detail} ${flag.events.join(' ')}`}>
          {flag.detail}{' '}
          {flag.events.map((key) => (
            <EventLink key={key} name={key} anchors={anchors} />
          ))}
        </li>
      ))}
    </ul>
  )
}

/** The key of an event, as a link where the event is on this page. */
export function EventLink({ name, anchors }: { name: string; anchors: ReadonlyMap<string, string> }) {
  const anchor = anchors.get(name)
  return <>{anchor ? <a href={`#${anchor}`}>{name}</a> : name} </>
}
