import ts from 'typescript'
import { type Breach, formatBreach, isCode, type Source, walkNodes } from './source'

const environmentFile = 'lib/store/environment.ts'
/** Files for tools, which read them before anything of ours runs, and the tests. */
const mayReadEnvironment = /^(tests\/|[^/]+\.config\.ts$|lib\/commands\/serve\.mjs$)/

/** `process.env` anywhere but in the one file that checks it. */
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

/** A clock, chance or a timer in the parts that take `now` as an argument. */
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

/** The type `any`, written or asserted, and comments that switch the compiler off. */
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

/** A value of one type taken for another past the compiler: what comes from outside is parsed, never cast. */
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

/** Where SQL is sent without being declared, and why. */
const plainQueries: Record<string, string> = {
  'lib/store/scope/statement.ts': 'sends what is declared',
  'lib/store/scope/transaction.ts': 'begins and ends transactions',
  'lib/store/migrate/databases.ts': 'makes, drops and renames databases, whose names cannot be bound',
  'lib/store/migrate/migrate.ts': 'runs the files of the migrations, each in its transaction',
  'lib/store/migrate/programRole.ts': 'makes roles and takes them on, whose names cannot be bound',
  'lib/store/migrate/queueSchema.ts': 'grants the use of the queue, and sends what its library asks',
  'lib/store/mail/runQueue.ts': 'sends what the library of the queue asks',
  'lib/store/engine/waitUntilReady.ts': 'comes before the rooms that declare',
}

/** SQL that is sent as it stands: a statement is declared with the schema of its rows, and tests hold it to that. */
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

/** A name that a file only passes on: whoever wants it takes it from where it is. */
export function findFacadeBreaches(sources: Source[]): Breach[] {
  return findInCode(
    sources,
    ({ path }) => checkedParts.test(path),
    (node) => (ts.isExportDeclaration(node) && node.moduleSpecifier ? 'only passes a name on' : null),
  )
}

/** What the content-security policy would not let a browser do: a style attribute, and HTML or scripts written as text. */
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

const MAX_LINES = 300

/** Files of more lines than a reader keeps in mind. */
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
  'vitest.config.ts',
  'prisma.config.ts',
  '.env.example',
  '.gitignore',
  '.ci',
  'app',
  'lib',
  'prisma',
  'public',
  'tests',
])

/** Anything at the top of the project that is not on the list. */
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
