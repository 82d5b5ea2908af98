// Where may somebody be sent after signing in? To a page of this server, and nowhere else.

const HERE = 'http://here.invalid'

/**
 * The path and query of an address on this server; null for anything that a browser would read as another
 * place: `//host`, `/\host`, `/<tab>/host`, a scheme, or dots that leave two slashes at the start.
 */
export function localPath(next: string | undefined): string | null {
  if (next === undefined || !next.startsWith('/') || !URL.canParse(next, HERE)) return null
  const { origin, pathname, search } = new URL(next, HERE)
  if (origin !== HERE || pathname.startsWith('//')) return null
  return pathname + search
}
