// A network between a phone and the service that can be cut, loses answers, and may say what the service did not.

import { createServer, type IncomingMessage, request } from 'node:http'
import type { AddressInfo } from 'node:net'

export interface WeakNetwork {
  address: string
  /** No connection comes about; as when the server is away, which a browser is not told. */
  isCut: boolean
  /** Writes that reached the service, in order: their paths. */
  writes: string[]
  /** The next answers to writes are lost on the way back, after the service has done what was asked. */
  loseAnswers: number
  /** The next writes are answered with these, and never reach the service. */
  answerWith: { status: number; headers?: Record<string, string>; body?: string }[]
  /** Writes to these paths are answered 503 for as long as this stands. */
  busyFor: RegExp | null
  close(): Promise<void>
}

export async function aWeakNetwork(target: string): Promise<WeakNetwork> {
  const { hostname, port } = new URL(target)
  const server = createServer((asked, answer) => {
    const isWrite = asked.method === 'POST'
    if (network.isCut) return void asked.socket.destroy()
    const isBusy = isWrite && network.busyFor?.test(asked.url ?? '')
    const instead = isBusy ? { status: 503 } : isWrite ? network.answerWith.shift() : undefined
    if (instead) {
      asked.resume()
      answer.writeHead(instead.status, instead.headers).end(instead.body ?? '')
      return
    }
    const isLost = isWrite && network.loseAnswers > 0
    if (isLost) network.loseAnswers -= 1
    const onward = request({ hostname, port, method: asked.method, path: asked.url, headers: asked.headers })
    onward.on('response', (given: IncomingMessage) => {
      if (isWrite) network.writes.push(asked.url ?? '')
      if (isLost || network.isCut) {
        given.resume()
        given.on('end', () => asked.socket.destroy())
        return
      }
      answer.writeHead(given.statusCode ?? 502, given.headers)
      given.pipe(answer)
    })
    onward.on('error', () => asked.socket.destroy())
    asked.pipe(onward)
  })
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done))
  const network: WeakNetwork = {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    isCut: false,
    writes: [],
    loseAnswers: 0,
    answerWith: [],
    busyFor: null,
    close: () =>
      new Promise((done) => {
        server.closeAllConnections()
        server.close(() => done())
      }),
  }
  return network
}
