// What does the service consist of? The table of contents: what protects it, then each resource by name.

import Fastify, { type FastifyInstance } from 'fastify'
import type { Deps } from './http/deps.ts'
import { health } from './http/health.ts'
import { protect } from './http/protect.ts'
import {
  API,
  answerProblem,
  type Resource,
  type RouteRecord,
  resource,
  sendRefusedPage,
} from './http/resource.ts'
import { missing } from './refusals.ts'

/** Every resource, mounted in this order. */
const RESOURCES: ((resource: Resource, deps: Deps) => void)[] = []

export interface App {
  server: FastifyInstance
  /** Every mounted route, for the reference and for the tests that walk them. */
  routes: RouteRecord[]
}

export async function buildApp(deps: Deps): Promise<App> {
  const { config } = deps
  const server = Fastify({
    // The level is the only thing that differs; what is logged never holds a body, a cookie or a token.
    logger: { level: config.log },
    trustProxy: config.proxies === '' ? false : config.proxies,
    bodyLimit: 2 * 1024 * 1024,
  })
  const routes: RouteRecord[] = []
  await protect(server, deps)
  server.setErrorHandler((problem, request, reply) => answerProblem(request, reply, problem))
  server.setNotFoundHandler((request, reply) => {
    const refusal = missing('This page')
    if (request.url.startsWith(API) || request.method !== 'GET') return answerProblem(request, reply, refusal)
    return sendRefusedPage(deps, request, reply, refusal)
  })
  health(server, deps)
  const mount = resource(server, deps, routes)
  for (const add of RESOURCES) add(mount, deps)
  return { server, routes }
}
