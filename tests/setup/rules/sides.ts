import ts from 'typescript'
import { listImports, resolvePath } from './imports'
import { type Breach, formatBreach, isCode, type Source } from './source'

/** Entry points that Next loads on the server. */
const ROOT = /^app\/(.*\/)?(page|layout|not-found|route)\.tsx?$/
/** Server-only code. */
const SERVERS = /^lib\/(store|access|digest|intake|commands|telemetry)\//
/** Modules whose hooks run only in a browser, except `useId`. */
const BROWSERS = /^(react|next\/navigation|@tanstack\/react-query)$/

/**
 * Finds mixed server and browser code: a file reached from the server that uses a browser hook without 'use client',
 * which fails the build; or a file with 'use client' that reaches server-only code. Type imports do not count.
 */
export function findSideBreaches(sources: Source[]): Breach[] {
  const files = new Map(sources.filter(isCode).map((source) => [source.path, source]))
  const isClient = (path: string) => /^'use client'/.test(files.get(path)?.text ?? '')
  const next = new Map<string, string[]>()
  const from = (path: string) => {
    const source = files.get(path)
    if (source && !next.has(path)) next.set(path, listLoadedFiles(source, files))
    return next.get(path) ?? []
  }
  const reached = (starts: string[], enters: (path: string) => boolean) => {
    const found = new Set(starts)
    for (const path of found) for (const to of from(path)) if (enters(to)) found.add(to)
    return [...found].flatMap((path) => files.get(path) ?? [])
  }
  const paths = [...files.keys()]
  const onServer = reached(
    paths.filter((path) => ROOT.test(path) && !isClient(path)),
    (path) => !isClient(path),
  )
  const inBrowser = reached(
    paths.filter((path) => path.startsWith('app/') && isClient(path)),
    () => true,
  )
  return [
    ...onServer.flatMap(findHookBreaches),
    ...inBrowser.flatMap(({ path }) =>
      SERVERS.test(path) ? [`${path}: reached from a file that is marked 'use client'`] : [],
    ),
  ]
}

/** The files that a file loads, except for types. */
function listLoadedFiles(source: Source, files: ReadonlyMap<string, Source>): string[] {
  return [...listImports(source)].flatMap(({ node, name }) => {
    const path = isTypeOnly(node.parent) ? null : resolvePath(source.path, name, files)
    return path === null ? [] : [path]
  })
}

function isTypeOnly(declaration: ts.Node): boolean {
  if (ts.isLiteralTypeNode(declaration)) return true
  if (ts.isExportDeclaration(declaration)) return declaration.isTypeOnly
  if (!ts.isImportDeclaration(declaration)) return false
  const clause = declaration.importClause
  const names = getImportedNames(declaration)
  return (
    clause !== undefined && (clause.isTypeOnly || (names.length > 0 && names.every((one) => one.isTypeOnly)))
  )
}

function getImportedNames({ importClause }: ts.ImportDeclaration): readonly ts.ImportSpecifier[] {
  const bindings = importClause?.namedBindings
  return bindings && ts.isNamedImports(bindings) && !importClause.name ? bindings.elements : []
}

function findHookBreaches(source: Source): Breach[] {
  return source.tree.statements.flatMap((statement) => {
    if (!ts.isImportDeclaration(statement) || !ts.isStringLiteral(statement.moduleSpecifier)) return []
    if (!BROWSERS.test(statement.moduleSpecifier.text)) return []
    return getImportedNames(statement).flatMap((one) => {
      const { text } = one.propertyName ?? one.name
      return /^use[A-Z]/.test(text) && text !== 'useId'
        ? [formatBreach(source, one, `${text} runs in a browser only; mark the file 'use client'`)]
        : []
    })
  })
}
