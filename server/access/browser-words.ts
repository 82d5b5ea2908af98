// Which browser is this, in two words? What it says of itself beyond that is not kept.

/** In this order: many browsers also say the names of those further down. */
const BROWSERS: [RegExp, string][] = [
  [/\bEdg(?:e|A|iOS)?\//, 'Edge'],
  [/\bOPR\//, 'Opera'],
  [/\bSamsungBrowser\//, 'Samsung Internet'],
  [/\b(?:Firefox|FxiOS)\//, 'Firefox'],
  [/\b(?:HeadlessChrome|Chrome|CriOS)\//, 'Chrome'],
  [/\bVersion\/\S+.*\bSafari\//, 'Safari'],
]
const SYSTEMS: [RegExp, string][] = [
  [/\biPhone\b/, 'iPhone'],
  [/\biPad\b/, 'iPad'],
  [/\bAndroid\b/, 'Android'],
  [/\bCrOS\b/, 'ChromeOS'],
  [/\bWindows\b/, 'Windows'],
  [/\bMac OS X\b|\bMacintosh\b/, 'macOS'],
  [/\bLinux\b/, 'Linux'],
]

/** Such as `Firefox/Windows`; either side is empty where it is not known. Fits what is kept and what is shown. */
export function browserOf(userAgent: string | undefined): string {
  const text = (userAgent ?? '').slice(0, 500)
  const named = (names: [RegExp, string][]) => names.find(([pattern]) => pattern.test(text))?.[1] ?? ''
  return `${named(BROWSERS)}/${named(SYSTEMS)}`
}
