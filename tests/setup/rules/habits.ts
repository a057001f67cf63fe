import ts from 'typescript'
import { type Breach, formatBreach, isCode, type Source, walkNodes } from './source'

const environmentFile = 'lib/store/environment.ts'
/** Tests, the configuration of tools, which read them before our code runs, and what Next replaces while it builds. */
const mayReadEnvironment = /^(tests\/|[^/]+\.config\.ts$|instrumentation\.ts$|lib\/commands\/serve\.mjs$)/

/** Finds `process.env` outside of the one file that validates it. */
export function findEnvironmentBreaches(sources: Source[]): Breach[] {
  return findInCode(
    sources,
    ({ path }) => path !== environmentFile && !mayReadEnvironment.test(path),
    (node) => {
      const isMember = ts.isPropertyAccessExpression(node) || ts.isElementAccessExpression(node)
      if (isMember && node.expression.getText() === 'process' && getMemberName(node) === 'env')
        return 'reads process.env'
      const isTakenApart = ts.isVariableDeclaration(node) && node.initializer?.getText() === 'process'
      return isTakenApart && /\benv\b/.test(node.name.getText()) ? 'takes env out of process' : null
    },
  )
}

const pureParts = /^lib\/(hold|lane|custody|schedule|policy|judgement)\//
const clockCalls = new Set([
  'Date.now',
  'performance.now',
  'Math.random',
  'process.hrtime',
  'process.uptime',
  'crypto.randomUUID',
])

/** Finds clocks, randomness and timers in the parts that take `now` as an argument. */
export function findClockBreaches(sources: Source[]): Breach[] {
  return findInCode(
    sources,
    ({ path }) => pureParts.test(path),
    (node) => {
      if (ts.isPropertyAccessExpression(node) && clockCalls.has(node.getText()))
        return `uses ${node.getText()}`
      if (
        ts.isNewExpression(node) &&
        node.expression.getText() === 'Date' &&
        (node.arguments ?? []).length === 0
      ) {
        return 'uses new Date() without an argument'
      }
      if (!ts.isCallExpression(node)) return null
      const called = node.expression.getText()
      if (called === 'Date') return 'uses Date()'
      return /^(setTimeout|setInterval|setImmediate|fetch|randomUUID|randomBytes)$/.test(called)
        ? `calls ${called}`
        : null
    },
  )
}

/** Finds the type `any`, written or asserted, and comments that silence the compiler. */
export function findAnyBreaches(sources: Source[]): Breach[] {
  const typed = findInCode(
    sources,
    () => true,
    (node) => (node.kind === ts.SyntaxKind.AnyKeyword ? 'uses the type any' : null),
  )
  const silenced = sources
    .filter(isCode)
    .flatMap(({ path, text }) =>
      text
        .split('\n')
        .flatMap((line, index) =>
          /^\s*(\/\/|\/\*|\*|\{\/\*).*@ts-(ignore|nocheck)/.test(line)
            ? [`${path}:${index + 1}: switches the compiler off`]
            : [],
        ),
    )
  return [...typed, ...silenced]
}

const checkedParts = /^(app|lib)\//
const sqlParts = /^(app|lib|prisma)\//

/** Finds double casts: values from outside are parsed, never cast. */
export function findCastBreaches(sources: Source[]): Breach[] {
  return findInCode(
    sources,
    ({ path }) => checkedParts.test(path),
    (node) => {
      const isTwice = ts.isAsExpression(node) && ts.isAsExpression(unwrap(node.expression))
      return isTwice ? 'casts past the compiler' : null
    },
  )
}

function unwrap(node: ts.Expression): ts.Expression {
  return ts.isParenthesizedExpression(node) ? unwrap(node.expression) : node
}

/** Files that may send undeclared SQL, with the reason. */
const plainQueries: Record<string, string> = {
  'lib/store/scope/statement.ts': 'sends what is declared',
  'lib/store/scope/transaction.ts': 'begins and ends transactions',
  'lib/store/migrate/databases.ts': 'makes, drops and renames databases, whose names cannot be bound',
  'lib/store/migrate/migrate.ts': 'runs the files of the migrations, each in its transaction',
  'lib/store/migrate/programRole.ts': 'makes roles and takes them on, whose names cannot be bound',
  'lib/store/migrate/queueSchema.ts': 'grants the use of the queue, and sends what its library asks',
  'lib/store/backup/copyRows.ts': 'copies tables, whose names cannot be bound',
  'lib/store/backup/snapshot.ts':
    'begins the transaction of a backup, locks tables and reads sequences by name',
  'lib/store/backup/emptyDatabase.ts': 'looks into tables and drops them by name',
  'lib/store/backup/restoreBackup.ts':
    'runs the files of migrations and alters tables by name, in one transaction',
  'lib/store/mail/runQueue.ts': 'sends what the library of the queue asks',
  'lib/store/engine/waitUntilReady.ts': 'comes before the rooms that declare',
}

/** Finds undeclared SQL: a statement is declared with the schema of its rows, which tests enforce. */
export function findQueryBreaches(sources: Source[]): Breach[] {
  return findInCode(
    sources,
    ({ path }) => sqlParts.test(path) && !Object.hasOwn(plainQueries, path),
    (node) => {
      if (!ts.isCallExpression(node)) return null
      const { expression: called } = node
      const isMember = ts.isPropertyAccessExpression(called) || ts.isElementAccessExpression(called)
      return isMember && getMemberName(called) === 'query' ? 'sends SQL that is not declared' : null
    },
  )
}

/** Finds re-exports: a name is imported from where it is defined. */
export function findFacadeBreaches(sources: Source[]): Breach[] {
  return findInCode(
    sources,
    ({ path }) => checkedParts.test(path),
    (node) => (ts.isExportDeclaration(node) && node.moduleSpecifier ? 'only passes a name on' : null),
  )
}

/** Finds what the content security policy forbids: style attributes, and HTML or scripts written as text. */
export function findInlineBreaches(sources: Source[]): Breach[] {
  return findInCode(
    sources,
    ({ path }) => path.startsWith('app/'),
    (node) => {
      if (!ts.isJsxAttribute(node)) return null
      const name = node.name.getText()
      return /^(style|dangerouslySetInnerHTML|srcDoc)$/.test(name) ? `writes ${name} into the page` : null
    },
  )
}

/** Finds elements made past `app/ui/jsx`, which looks at the texts that they show. */
export function findElementBreaches(sources: Source[]): Breach[] {
  return findInCode(
    sources,
    ({ path }) => path.startsWith('app/') && !path.startsWith('app/ui/jsx/'),
    (node) => {
      if (ts.isImportDeclaration(node) && /^['"]react\/jsx/.test(node.moduleSpecifier.getText()))
        return 'imports the JSX runtime of React'
      const name = ts.isIdentifier(node) ? node.text : ''
      return /^(createElement|cloneElement)$/.test(name) ? `uses ${name}` : null
    },
  )
}

const MAX_LINES = 300

/** Finds files longer than 300 lines. */
export function findLengthBreaches(sources: Source[]): Breach[] {
  return sources.flatMap(({ path, text }) => {
    const lines = text.replace(/\n$/, '').split('\n').length
    const isMeasured = /\.(ts|tsx|mjs|css)$/.test(path)
    return isMeasured && lines > MAX_LINES ? [`${path}: ${lines} lines, more than ${MAX_LINES}`] : []
  })
}

const topLevel = new Set([
  'README.md',
  'DEVELOPERS.md',
  'LICENSE',
  'package.json',
  'package-lock.json',
  'tsconfig.json',
  'biome.json',
  'next.config.ts',
  'instrumentation.ts',
  'vitest.config.ts',
  'prisma.config.ts',
  '.env.example',
  '.gitignore',
  '.dockerignore',
  'Dockerfile',
  'compose.yaml',
  '.ci',
  'app',
  'lib',
  'prisma',
  'public',
  'tests',
])

/** Finds unexpected names at the top of the project. */
export function findTopLevelBreaches(paths: string[]): Breach[] {
  const names = new Set(paths.map((path) => path.split('/')[0] as string))
  return [...names]
    .filter((name) => !topLevel.has(name))
    .map((name) => `${name}: does not belong at the top of the project`)
}

function getMemberName(node: ts.PropertyAccessExpression | ts.ElementAccessExpression): string | null {
  if (ts.isPropertyAccessExpression(node)) return node.name.text
  return ts.isStringLiteralLike(node.argumentExpression) ? node.argumentExpression.text : null
}

function findInCode(
  sources: Source[],
  concerns: (source: Source) => boolean,
  judge: (node: ts.Node) => string | null,
): Breach[] {
  return sources
    .filter((source) => isCode(source) && concerns(source))
    .flatMap((source) =>
      [...walkNodes(source.tree)].flatMap((node) => {
        const what = judge(node)
        return what ? [formatBreach(source, node, what)] : []
      }),
    )
}
