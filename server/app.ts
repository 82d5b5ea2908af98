// What does the service consist of? The table of contents: what protects it, then each resource by name.

import Fastify, { type FastifyInstance, type FastifyRequest } from 'fastify'
import { atRiskResource } from './http/at-risk.ts'
import { auditListResource } from './http/audit-list.ts'
import { auditsResource } from './http/audits.ts'
import { calculationsResource } from './http/calculations.ts'
import { calibrationFilesResource } from './http/calibration-files.ts'
import { callbacksResource } from './http/callbacks.ts'
import { certificatesResource } from './http/certificates.ts'
import { chargesResource } from './http/charges.ts'
import { claimPacketResource } from './http/claim-packet.ts'
import { companiesResource } from './http/companies.ts'
import { companyArchiveResource, shelfOf } from './http/company-archive.ts'
import { concessionRequestsResource } from './http/concession-requests.ts'
import { correctionsResource } from './http/corrections.ts'
import { crewResource } from './http/crew.ts'
import type { Deps } from './http/deps.ts'
import { equipmentSheetsResource } from './http/equipment-sheets.ts'
import { evacuationsResource } from './http/evacuations.ts'
import { exportsResource } from './http/exports.ts'
import { figuresResource } from './http/figures.ts'
import { gaugeLogsResource } from './http/gauge-logs.ts'
import { health } from './http/health.ts'
import { holdPointsResource } from './http/hold-points.ts'
import { identityProviderResource } from './http/identity-provider.ts'
import { importsResource } from './http/imports.ts'
import { instrumentLabelsResource } from './http/instrument-labels.ts'
import { instrumentsResource } from './http/instruments.ts'
import { instrumentsDueResource } from './http/instruments-due.ts'
import { invitationsResource } from './http/invitations.ts'
import { jobsResource } from './http/jobs.ts'
import { jointsResource } from './http/joints.ts'
import { languageResource } from './http/language.ts'
import { lineSetsResource } from './http/line-sets.ts'
import { makesResource } from './http/makes.ts'
import { membersResource } from './http/members.ts'
import { nonconformitiesResource } from './http/nonconformities.ts'
import { papersResource } from './http/papers.ts'
import { passkeysResource } from './http/passkeys.ts'
import { phoneResource } from './http/phone.ts'
import { photosResource } from './http/photos.ts'
import { policyResource } from './http/policy.ts'
import { pressureTestsResource } from './http/pressure-tests.ts'
import { refusalOf } from './http/problem.ts'
import { protect } from './http/protect.ts'
import { recallsResource } from './http/recalls.ts'
import { referenceResource } from './http/reference.ts'
import { reliabilityResource } from './http/reliability.ts'
import { answerProblem, type Resource, type RouteRecord, resource, sendRefusedPage } from './http/resource.ts'
import { runningChecksResource } from './http/running-checks.ts'
import { searchResource } from './http/search.ts'
import { secondStepResource } from './http/second-step.ts'
import { sessionResource } from './http/session.ts'
import { setUpCopiesResource } from './http/set-up-copies.ts'
import { signingInResource } from './http/signing-in.ts'
import { sitesResource } from './http/sites.ts'
import { systemHistoryResource } from './http/system-history.ts'
import { systemsResource } from './http/systems.ts'
import { tagsResource } from './http/tags.ts'
import { takesUp, takeUpResource } from './http/take-up.ts'
import { tokensResource } from './http/tokens.ts'
import { verifyResource } from './http/verify.ts'
import { webhooksResource } from './http/webhooks.ts'
import { missing } from './refusals.ts'

/** Every resource, mounted in this order. */
const RESOURCES: ((resource: Resource, deps: Deps, routes: RouteRecord[]) => void)[] = [
  languageResource,
  companiesResource,
  sessionResource,
  signingInResource,
  secondStepResource,
  passkeysResource,
  identityProviderResource,
  invitationsResource,
  membersResource,
  tokensResource,
  policyResource,
  crewResource,
  sitesResource,
  equipmentSheetsResource,
  systemsResource,
  systemHistoryResource,
  claimPacketResource,
  setUpCopiesResource,
  lineSetsResource,
  searchResource,
  tagsResource,
  figuresResource,
  instrumentsResource,
  instrumentsDueResource,
  instrumentLabelsResource,
  calibrationFilesResource,
  recallsResource,
  jobsResource,
  jointsResource,
  makesResource,
  pressureTestsResource,
  evacuationsResource,
  gaugeLogsResource,
  chargesResource,
  runningChecksResource,
  photosResource,
  phoneResource,
  correctionsResource,
  holdPointsResource,
  concessionRequestsResource,
  nonconformitiesResource,
  auditListResource,
  auditsResource,
  certificatesResource,
  callbacksResource,
  reliabilityResource,
  atRiskResource,
  exportsResource,
  importsResource,
  companyArchiveResource,
  takeUpResource,
  webhooksResource,
  verifyResource,
  calculationsResource,
  papersResource,
  referenceResource,
]

export interface App {
  server: FastifyInstance
  /** Every mounted route, for the reference and for the tests that walk them. */
  routes: RouteRecord[]
}

export async function buildApp(deps: Deps): Promise<App> {
  const { config } = deps
  const server = Fastify({
    // The level is the only thing that differs; what is logged never holds a body, a cookie or a token.
    logger: {
      level: config.log,
      serializers: {
        // Without the query: an invitation's code or a search for a customer has no place in a log.
        req: (request) => ({ method: request.method, path: request.url.split('?')[0] }),
      },
    },
    trustProxy: config.proxies === '' ? false : config.proxies,
    bodyLimit: 2 * 1024 * 1024,
    // While the service ends, what still comes over an open connection is done and answered; then it is closed.
    return503OnClosing: false,
    // An address that can't be read is refused before any route is known, in the same words.
    frameworkErrors: (problem, request, reply) => void answerProblem(request, reply, problem),
  })
  const routes: RouteRecord[] = []
  await protect(server, deps)
  server.setErrorHandler((problem, request, reply) =>
    isForProgram(request)
      ? answerProblem(request, reply, problem)
      : sendRefusedPage(deps, request, reply, refusalOf(problem)),
  )
  server.setNotFoundHandler((request, reply) => {
    const refusal = missing('This page')
    if (isForProgram(request)) return answerProblem(request, reply, refusal)
    return sendRefusedPage(deps, request, reply, refusal)
  })
  health(server, deps)
  takesUp(server, deps)
  server.addHook('onClose', () => shelfOf(deps).stop())
  const mount = resource(server, deps, routes)
  for (const add of RESOURCES) add(mount, deps, routes)
  return { server, routes }
}

/** A browser's page gets a page; everything else a problem that a program can read. */
const isForProgram = (request: FastifyRequest): boolean =>
  request.url.startsWith('/api/') || !request.headers.accept?.includes('text/html')
