import ts from 'typescript'
import { describe, expect, test } from 'vitest'
import { type Audience, ROUTES, type RouteName } from '@/lib/policy/routes'
import { readProjectSources, type Source, toSource, walkNodes } from '../setup/rules/source'

const METHODS = ['GET', 'HEAD', 'POST', 'PUT', 'PATCH', 'DELETE', 'OPTIONS']
const GUARDS = ['requireUser', 'authorize', 'authorizeRequest', 'allowAnonymous', 'allowToken']

const files = readProjectSources().filter(({ path }) => /^app\/(.*\/)?(page|route)\.(tsx?|mjs)$/.test(path))

/** The address of a page or route file; folders in brackets are not part of it. */
function toAddress(path: string): string {
  const folders = path
    .split('/')
    .slice(1, -1)
    .filter((folder) => !/^\(.*\)$/.test(folder))
  return `/${folders.join('/')}`
}

/** The entries of the table that a file serves: a page, or each method of a route. */
function listNames(source: Source): string[] {
  const address = toAddress(source.path)
  if (/\/page\.\w+$/.test(source.path)) return [`page ${address}`]
  return listExports(source)
    .filter((name) => METHODS.includes(name))
    .map((method) => `${method} ${address}`)
}

function listExports({ tree }: Source): string[] {
  return tree.statements.flatMap((statement) => {
    if (ts.isExportDeclaration(statement))
      return statement.exportClause && ts.isNamedExports(statement.exportClause)
        ? statement.exportClause.elements.map(({ name }) => name.text)
        : METHODS
    const isExported =
      ts.canHaveModifiers(statement) &&
      ts.getModifiers(statement)?.some(({ kind }) => kind === ts.SyntaxKind.ExportKeyword)
    if (!isExported) return []
    if (ts.isFunctionDeclaration(statement)) return statement.name ? [statement.name.text] : []
    if (!ts.isVariableStatement(statement)) return []
    return statement.declarationList.declarations.flatMap(({ name }) =>
      ts.isIdentifier(name)
        ? [name.text]
        : name.elements.flatMap((element) => ('name' in element ? [element.name.getText()] : [])),
    )
  })
}

/** The names with which a file calls its guards. */
function listGuardedNames({ tree }: Source): string[] {
  const names = [...walkNodes(tree)].flatMap((node) => {
    if (!ts.isCallExpression(node) || !GUARDS.includes(node.expression.getText())) return []
    const [first] = node.arguments
    return [
      first && ts.isStringLiteralLike(first)
        ? first.text
        : `something that is not a name: ${first?.getText()}`,
    ]
  })
  return [...new Set(names)]
}

const isForAnyone = (name: string) =>
  (ROUTES[name as RouteName] as readonly string[] | undefined)?.includes('anyone')

/** Differences between a set of files and the table. */
function faults(sources: readonly Source[], table: readonly string[]): string[] {
  const served = sources.flatMap((source) => listNames(source).map((name) => ({ name, source })))
  return [
    ...served
      .filter(({ name }) => !table.includes(name))
      .map(({ name }) => `${name} is not in the table of routes`),
    ...table
      .filter((name) => !served.some((one) => one.name === name))
      .map((name) => `${name} is in the table, and nowhere else`),
    ...served
      .filter(({ name, source }) => !isForAnyone(name) && !listGuardedNames(source).includes(name))
      .map(({ name, source }) => `${source.path} does not ask whether one may ${name}`),
    ...sources.flatMap((source) =>
      listGuardedNames(source)
        .filter((name) => !listNames(source).includes(name))
        .map((name) => `${source.path} asks for ${name}, which it is not`),
    ),
  ]
}

test('there are pages and routes to check', () => expect(files.length).toBeGreaterThan(8))

test('every page and method is in the table and authorizes by its own name', () =>
  expect(faults(files, Object.keys(ROUTES))).toEqual([]))

test('nothing answers but pages and routes: no server actions', () => {
  const acting = readProjectSources().filter(
    ({ path, text }) => path.startsWith('app/') && /^\s*['"]use server['"]/m.test(text),
  )
  expect(acting.map(({ path }) => path)).toEqual([])
})

// Double entry: the audiences are written here a second time, in full. A change of the table, or of a role, that opens
// a route to others fails unless it is repeated here. A line may have several methods of one address.
const AUDIENCES: [readonly Audience[], string][] = [
  [
    ['anyone'],
    `page /sign-in
     page /sign-in/link
     page /sign-in/code
     POST /api/sign-in
     POST /api/sign-in/link
     POST /api/sign-in/code
     POST /api/sign-in/role
     POST /api/sign-out
     GET POST /api/passkey/[step]
     GET POST /api/digest/stop
     GET /api/calendar/[secret]
     GET POST /api/health
     GET /api/ready`,
  ],
  [
    ['person'],
    `page /me
     POST /api/me/sessions
     POST /api/me/passkeys
     POST /api/me/digest
     POST /api/me/zone`,
  ],
  [['administrator', 'reader', 'plant contact', 'laboratory desk'], 'page /lanes'],
  [
    ['administrator', 'plant contact', 'laboratory desk'],
    `page /
     page /plants/[code]
     page /plants/[code]/history
     page /samples/[code]
     page /lanes/[plant]/[laboratory]/[service]
     page /digest
     page /due
     GET /api/board
     GET /api/plants/[code]
     GET /api/plants/[code]/history
     GET /api/digest/html
     POST /api/due/snooze
     POST /api/record
     POST /api/record/undo
     POST /api/record/move`,
  ],
  [
    ['administrator', 'plant contact'],
    `POST /api/due/feeds
     POST /api/due/feeds/[id]/revoke`,
  ],
  [
    ['administrator', 'laboratory desk'],
    `page /arrivals
     page /receiving`,
  ],
  [
    ['administrator', 'reader'],
    `page /figures
     page /lanes/score`,
  ],
  [['administrator', 'plant contact', 'laboratory desk', 'key'], 'POST /api/events'],
  [['administrator', 'key'], 'PUT /api/register'],
  [
    ['administrator'],
    `page /unplaced
     page /audit
     page /server
     page /keys
     page /keys/new
     page /setup
     page /setup/[list]
     page /setup/[list]/[code]
     page /setup/add/[list]
     page /setup/changes/[id]
     page /setup/csv/[list]
     page /setup/csv/people
     page /setup/labels
     page /setup/office
     page /setup/people
     page /setup/people/[id]
     page /setup/people/changes/[id]
     GET /api/audit
     GET /api/metrics
     GET /api/register
     POST /api/keys
     POST /api/keys/[id]/revoke
     POST /api/digest/time
     POST /api/digest/again
     POST /api/record/assign
     POST /api/setup/entries
     POST /api/setup/changes
     POST /api/setup/kits
     GET POST /api/setup/csv
     GET /api/setup/due
     POST /api/setup/office
     POST /api/setup/people
     POST /api/setup/people/sessions
     POST /api/setup/people/mailbox
     POST /api/setup/people/changes
     GET POST /api/setup/people/csv`,
  ],
]

test('each is open to exactly the audiences listed here again', () => {
  const expected = AUDIENCES.flatMap(([parts, lines]) =>
    lines.split('\n').flatMap((line) => {
      const [address, ...methods] = line.trim().split(' ').reverse()
      return methods.map((method) => [`${method} ${address}`, [...parts].sort()] as const)
    }),
  )
  const names = expected.map(([name]) => name)
  expect(names.filter((name, index) => names.indexOf(name) !== index)).toEqual([])
  expect(
    Object.fromEntries(Object.entries(ROUTES).map(([name, parts]) => [name, [...parts].sort()])),
  ).toEqual(Object.fromEntries(expected))
})

describe('breaches are found', () => {
  const page = (text: string, path = 'app/(desk)/a/[code]/page.tsx') => toSource(path, text)
  const guarded = "export default async function A() { await requireUser('page /a/[code]') }"

  test('none without a fault', () => expect(faults([page(guarded)], ['page /a/[code]'])).toEqual([]))

  test.each([
    ['a page that is not in the table', [page(guarded)], []],
    ['a line without a file', [page(guarded)], ['page /a/[code]', 'GET /b']],
    ['a page that asks nobody', [page('export default function A() {}')], ['page /a/[code]']],
    [
      'a page that only mentions its name',
      [page("// requireUser('page /a/[code]')\nexport default function A() {}")],
      ['page /a/[code]'],
    ],
  ])('%s', (_, sources, table) => expect(faults(sources, table)).toHaveLength(1))

  test.each([
    "export async function DELETE() { await authorize('GET /b', r) }",
    "export const DELETE = withErrorHandling(async (r) => { await authorize('GET /b', r) })",
    "export const { GET, DELETE } = { GET: (r) => authorize('GET /b', r) }",
    "const DELETE = 1; export { DELETE }; authorize('GET /b', r)",
    "export * from './c'; authorize('GET /b', r)",
  ])('a method that authorizes by the name of another: %s', (text) => {
    const found = faults([toSource('app/b/route.ts', text)], ['GET /b'])
    expect(found).toContain('DELETE /b is not in the table of routes')
    expect(found).toContain('app/b/route.ts does not ask whether one may DELETE /b')
  })
})
