// What stands in front of every route? Headers, the origin of writes, sizes, static files.

import { join } from 'node:path'
import compress from '@fastify/compress'
import cookie from '@fastify/cookie'
import formbody from '@fastify/formbody'
import helmet from '@fastify/helmet'
import multipart from '@fastify/multipart'
import rateLimit from '@fastify/rate-limit'
import serveStatic from '@fastify/static'
import type { FastifyInstance, FastifyRequest } from 'fastify'
import { SESSION_COOKIE } from '../access/sessions.ts'
import { forbidden } from '../refusals.ts'
import { ROOT } from '../root.ts'
import { say } from '../words/say.ts'
import type { Deps } from './deps.ts'
import { speak } from './language.ts'

const SAFE = new Set(['GET', 'HEAD', 'OPTIONS'])

export async function protect(app: FastifyInstance, { config }: Deps): Promise<void> {
  const https = config.publicUrl.startsWith('https:')
  await app.register(cookie)
  speak(app)
  await app.register(formbody)
  await app.register(multipart)
  await app.register(helmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'self'"],
        imgSrc: ["'self'", 'data:', 'blob:'],
        objectSrc: ["'none'"],
        baseUri: ["'none'"],
        formAction: ["'self'"],
        frameAncestors: ["'none'"],
        ...(https ? { upgradeInsecureRequests: [] } : {}),
      },
    },
    hsts: https,
    // With no referrer at all, browsers send `Origin: null` with forms, and every write would be refused.
    referrerPolicy: { policy: 'same-origin' },
  })
  await app.register(rateLimit, { global: false })
  await app.register(compress, { global: true, encodings: ['br', 'gzip'] })
  await app.register(serveStatic, {
    root: join(ROOT, 'views', 'assets'),
    prefix: '/assets/',
    maxAge: '1h',
    setHeaders(reply, path) {
      // It looks after every page, not only after what lies beside it.
      if (path.endsWith('worker.js')) reply.setHeader('service-worker-allowed', '/')
    },
  })
  await app.register(serveStatic, {
    root: join(ROOT, 'node_modules', 'idb', 'build'),
    prefix: '/assets/idb/',
    decorateReply: false,
    allowedPath: (path) => path === '/umd.js',
    maxAge: '1h',
  })
  await app.register(serveStatic, {
    root: join(ROOT, 'node_modules', 'htmx.org', 'dist'),
    prefix: '/assets/htmx/',
    decorateReply: false,
    allowedPath: (path) => path === '/htmx.min.js',
    maxAge: '1h',
  })

  app.addHook('onRequest', async (request) => {
    if (!SAFE.has(request.method)) checkOrigin(request, config.publicUrl)
    if (isMultipart(request) && request.routeOptions.url && !request.routeOptions.config.takesFile)
      throw Object.assign(new Error('A file is not taken here.'), { code: 'FST_ERR_CTP_INVALID_MEDIA_TYPE' })
  })
}

/** Forms with files are read only where one is asked for; everywhere else they are another kind of content. */
const isMultipart = (request: FastifyRequest) => /^multipart\//i.test(request.headers['content-type'] ?? '')

declare module 'fastify' {
  interface FastifyContextConfig {
    takesFile?: boolean
  }
}

/**
 * A write that a browser's cookie vouches for must come from our own pages. A browser says where it comes from;
 * what says nothing and brings no cookie is a program, and brings its own credentials.
 */
function checkOrigin(request: FastifyRequest, publicUrl: string): void {
  if (request.headers.authorization !== undefined) return
  const { origin, host } = request.headers
  if (origin === undefined) {
    if (request.cookies[SESSION_COOKIE] === undefined) return
    throw forbidden(say.refusals.aWriteWithA, 'origin')
  }
  if (origin === new URL(publicUrl).origin) return
  if (URL.canParse(origin) && new URL(origin).host === host) return
  throw forbidden(say.refusals.thisWriteCameFrom, 'origin')
}
