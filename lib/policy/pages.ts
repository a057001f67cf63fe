import type { Person } from './principal'
import { mayAsk, type RouteName } from './routes'

const PAGES: { href: string; name: string; route: RouteName }[] = [
  { href: '/', name: 'Board', route: 'page /' },
  { href: '/due', name: 'Due', route: 'page /due' },
  { href: '/arrivals', name: 'Arrivals', route: 'page /arrivals' },
  { href: '/receiving', name: 'Receiving', route: 'page /receiving' },
  { href: '/lanes', name: 'Lanes', route: 'page /lanes' },
  { href: '/figures', name: 'Figures', route: 'page /figures' },
  { href: '/digest', name: 'Weekly mail', route: 'page /digest' },
  { href: '/unplaced', name: 'Unplaced events', route: 'page /unplaced' },
  { href: '/setup', name: 'Set-up', route: 'page /setup' },
  { href: '/keys', name: 'Keys', route: 'page /keys' },
  { href: '/audit', name: 'Who did what', route: 'page /audit' },
]

/** The pages in the site's head that are a person's to ask for. */
export function pagesOf(person: Person): { href: string; name: string }[] {
  return PAGES.filter(({ route }) => mayAsk(route, person)).map(({ href, name }) => ({ href, name }))
}
