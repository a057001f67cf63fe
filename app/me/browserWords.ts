const BROWSERS: [RegExp, string][] = [
  [/Edg(e|A|iOS)?\//, 'Edge'],
  [/OPR\//, 'Opera'],
  [/Firefox\/|FxiOS\//, 'Firefox'],
  [/Chrome\/|CriOS\/|Chromium\//, 'Chrome or a browser of its kind'],
  [/Safari\//, 'Safari'],
]

const MACHINES: [RegExp, string][] = [
  [/iPhone/, 'an iPhone'],
  [/iPad/, 'an iPad'],
  [/Android/, 'an Android device'],
  [/Windows/, 'Windows'],
  [/Mac OS X|Macintosh/, 'a Mac'],
  [/CrOS/, 'a Chromebook'],
  [/Linux/, 'Linux'],
]

/** What a browser says it is, as words: "Firefox on Windows". It is the browser's own claim. */
export function browserWords(agent: string): string {
  const browser = BROWSERS.find(([pattern]) => pattern.test(agent))?.[1] ?? 'A browser that does not say'
  const machine = MACHINES.find(([pattern]) => pattern.test(agent))?.[1]
  return machine ? `${browser} on ${machine}` : browser
}
