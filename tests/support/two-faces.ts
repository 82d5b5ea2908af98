// How does a test speak to both faces of the service? As a program with a token, and as a browser with a form.

import { asBrowser, asProgram, type Cast, type Player } from './cast.ts'

export async function twoFaces(cast: Cast) {
  const server = await cast.server()
  return {
    server,
    post: (player: Player | null, path: string, payload?: unknown, headers: Record<string, string> = {}) =>
      server.inject({
        method: 'POST',
        url: `/api/v1${path}`,
        headers: { ...(player ? asProgram(player) : {}), ...headers },
        ...(payload === undefined ? {} : { payload: payload as object }),
      }),
    get: (player: Player, path: string) =>
      server.inject({ method: 'GET', url: `/api/v1${path}`, headers: asProgram(player) }),
    send: (player: Player, url: string, fields: Record<string, string>) =>
      server.inject({
        method: 'POST',
        url,
        headers: { ...asBrowser(player), 'content-type': 'application/x-www-form-urlencoded' },
        payload: new URLSearchParams(fields).toString(),
      }),
    look: (player: Player, url: string) => server.inject({ method: 'GET', url, headers: asBrowser(player) }),
    /** How many entries the record holds: what a refusal must not change. */
    entries: async () =>
      Number((await cast.store.store.query<{ n: number }>('select count(*) as n from entries'))[0]?.n),
  }
}
