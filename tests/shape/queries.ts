// How is each query asked for something of a company? One line for each; those that take no scope say why.

import * as audit from '../../server/store/queries/audit.ts'
import * as auditList from '../../server/store/queries/audit-list.ts'
import * as calibrationFiles from '../../server/store/queries/calibration-files.ts'
import * as callbacks from '../../server/store/queries/callbacks.ts'
import * as certificates from '../../server/store/queries/certificates.ts'
import * as charges from '../../server/store/queries/charges.ts'
import * as concessions from '../../server/store/queries/concessions.ts'
import * as corrections from '../../server/store/queries/corrections.ts'
import * as crew from '../../server/store/queries/crew.ts'
import * as crewFigures from '../../server/store/queries/crew-figures.ts'
import * as dossier from '../../server/store/queries/dossier.ts'
import * as effective from '../../server/store/queries/effective.ts'
import * as entries from '../../server/store/queries/entries.ts'
import * as sheets from '../../server/store/queries/equipment-sheets.ts'
import * as exportPages from '../../server/store/queries/export-pages.ts'
import * as followUps from '../../server/store/queries/follow-ups.ts'
import * as heldAgainst from '../../server/store/queries/held-against.ts'
import * as identityProviders from '../../server/store/queries/identity-providers.ts'
import * as uses from '../../server/store/queries/instrument-uses.ts'
import * as instruments from '../../server/store/queries/instruments.ts'
import * as used from '../../server/store/queries/instruments-used.ts'
import * as invitations from '../../server/store/queries/invitations.ts'
import * as jobs from '../../server/store/queries/jobs.ts'
import * as joints from '../../server/store/queries/joints.ts'
import * as judgedGroups from '../../server/store/queries/judged-groups.ts'
import * as judging from '../../server/store/queries/judging.ts'
import * as lineSets from '../../server/store/queries/line-sets.ts'
import * as lives from '../../server/store/queries/lives.ts'
import * as named from '../../server/store/queries/named-things.ts'
import * as nonconformities from '../../server/store/queries/nonconformities.ts'
import * as people from '../../server/store/queries/people.ts'
import * as photos from '../../server/store/queries/photos.ts'
import * as policy from '../../server/store/queries/policy.ts'
import * as policyVersions from '../../server/store/queries/policy-versions.ts'
import * as readingLogs from '../../server/store/queries/reading-logs.ts'
import * as recalls from '../../server/store/queries/recalls.ts'
import * as register from '../../server/store/queries/register.ts'
import * as releasedLately from '../../server/store/queries/released-lately.ts'
import * as reliability from '../../server/store/queries/reliability.ts'
import * as runningChecks from '../../server/store/queries/running-checks.ts'
import * as search from '../../server/store/queries/search.ts'
import * as secondSteps from '../../server/store/queries/second-step.ts'
import * as tests from '../../server/store/queries/section-tests.ts'
import * as sheetsUsed from '../../server/store/queries/sheets-used.ts'
import * as signIns from '../../server/store/queries/sign-ins.ts'
import * as sites from '../../server/store/queries/sites.ts'
import * as systemHistory from '../../server/store/queries/system-history.ts'
import * as systems from '../../server/store/queries/systems.ts'
import * as tags from '../../server/store/queries/tags.ts'
import * as tokens from '../../server/store/queries/tokens.ts'
import * as toolsAtHand from '../../server/store/queries/tools-at-hand.ts'
import * as webhooks from '../../server/store/queries/webhooks.ts'
import type { Scope } from '../../server/store/store.ts'
import type { World } from './world.ts'

interface Asked {
  /** `own` is the company's own scope, for what a query must be handed besides. */
  call(scope: Scope, world: World, own: Scope): Promise<unknown>
  /** This world has nothing for it to find, even in its own company. */
  empty?: true
}
interface NotAsked {
  /** Why it isn't asked: it takes no scope, or it writes. */
  because: string
}

const PURE = { because: 'turns a row into another shape; touches no table' }
const PERSON = { because: 'about a person or a code, before any company is known' }
const LOCK = { because: 'only takes a lock; answers nothing' }
const always = { from: 0, to: Number.MAX_SAFE_INTEGER }
const ever = { from: null, to: Number.MAX_SAFE_INTEGER }
const first = { limit: 200 }

export const QUERIES: Record<string, Asked | NotAsked> = {
  'audit/listAuditMarks': { call: (s, w) => audit.listAuditMarks(s, [w.jobs.waiting]) },
  'audit/listAuditThreads': { call: (s, w) => audit.listAuditThreads(s, [w.jobs.sealed]) },
  'audit/listAuditThreadsAbout': { call: (s, w) => audit.listAuditThreadsAbout(s, w.jobs.sealed) },
  'audit/findAuditThread': { call: (s, w) => audit.findAuditThread(s, w.questions.waiting) },
  'audit/findAuditSubject': {
    call: (s, w) => audit.findAuditSubject(s, w.jobs.waiting, 'joint', w.jobs.waitingJointId),
  },
  'audit/auditSubjectOfEntry': {
    call: async (s, w) => audit.auditSubjectOfEntry(s, w.jobs.open, await entries.findEntry(s, w.entryId)),
  },
  'audit/stateOfThread': PURE,
  'audit-list/listAuditCandidates': {
    call: (s) => auditList.listAuditCandidates(s, { submitted: true, sealedSince: 0 }),
  },
  'audit-list/listSealedDossiers': {
    call: async (s, w) => [...(await auditList.listSealedDossiers(s, [w.jobs.sealed])).values()],
  },
  'callbacks/findCallback': { call: (s, w) => callbacks.findCallback(s, w.callbackId) },
  'callbacks/listCallbacks': { call: (s) => callbacks.listCallbacks(s, first) },
  'callbacks/listCallbacksOfSystem': { call: (s, w) => callbacks.listCallbacksOfSystem(s, w.systemId) },
  'callbacks/listCallbacksOfJoint': {
    call: (s, w) => callbacks.listCallbacksOfJoint(s, w.joints.existing),
    empty: true,
  },
  'callbacks/listCalledSystems': { call: (s, w) => callbacks.listCalledSystems(s, [w.systemId]) },
  'certificates/findCertificate': { call: (s, w) => certificates.findCertificate(s, w.certificateId) },
  'certificates/certificateByCode': PERSON,
  'certificates/listCertificatesOfJob': {
    call: (s, w) => certificates.listCertificatesOfJob(s, w.jobs.sealed),
  },
  'certificates/listCertificateIds': { call: (s) => certificates.listCertificateIds(s) },
  'certificates/nextRevision': {
    // The next revision of a job that has none is 1: what is looked for is anything beyond that.
    call: async (s, w) => (await certificates.nextRevision(s, w.jobs.sealed)) - 1,
  },
  'certificates/insertCertificate': { because: 'writes, under the scope’s own company' },
  'certificates/aftermathOf': {
    call: (s, w) => certificates.aftermathOf(s, { jobId: w.jobs.sealed, revision: 1 }),
    empty: true,
  },
  'certificates/findTown': { call: (s, w) => certificates.findTown(s, w.siteId) },
  'certificates/findCertificatePlace': {
    call: (s, w) => certificates.findCertificatePlace(s, w.jobs.sealed),
  },
  'certificates/listPeopleNames': { call: (s) => certificates.listPeopleNames(s) },
  'certificates/issueEntryOf': { call: (s, w) => certificates.issueEntryOf(s, w.certificateId) },
  'certificates/listIssuedIds': { call: (s) => certificates.listIssuedIds(s) },
  'certificates/hashOfEntry': {
    call: (s, w) => certificates.hashOfEntry(s, { chainId: w.systemId, number: 1 }),
  },
  'charges/listCharges': { call: (s, w) => charges.listCharges(s, [w.systemId]) },
  'charges/chargeIn': PURE,
  'concessions/findRequestToAnswer': { call: (s, w) => concessions.findRequestToAnswer(s, w.requestId) },
  'concessions/listRequestsOfJob': { call: (s, w) => concessions.listRequestsOfJob(s, w.jobs.asked) },
  'concessions/listWaitingRequests': { call: (s) => concessions.listWaitingRequests(s) },
  'concessions/listPrecedents': {
    call: async (s) => [...(await concessions.listPrecedents(s, ['joint-assembled'])).values()],
    empty: true,
  },
  'concessions/listLastConcessions': {
    call: (s) => concessions.listLastConcessions(s, 'joint-assembled', 3),
    empty: true,
  },
  'nonconformities/listNonconformities': {
    call: async (s) => (await nonconformities.listNonconformities(s, { limit: 50 })).items,
  },
  'nonconformities/findNonconformity': {
    call: (s, w) => nonconformities.findNonconformity(s, w.nonconformityId),
  },
  'nonconformities/countNonconformities': {
    call: (s) => nonconformities.countNonconformities(s, {}),
  },
  'nonconformities/listFirstSubmissions': {
    call: (s) => nonconformities.listFirstSubmissions(s, { from: 0, to: 8e15 }),
  },
  'nonconformities/listRequirementsNotMet': { call: (s) => nonconformities.listRequirementsNotMet(s) },
  'register/listOpenOnJob': { call: (s, w) => register.listOpenOnJob(s, w.jobs.asked) },
  'register/hasNonconformity': { call: (s, w) => register.hasNonconformity(s, w.jobs.asked) },
  'register/listJobIds': { call: (s) => register.listJobIds(s) },
  'register/listMomentsOfJob': { call: (s, w) => register.listMomentsOfJob(s, w.jobs.open, [w.systemId]) },
  'register/listRegistered': { call: (s, w) => register.listRegistered(s, w.jobs.asked) },
  'register/findGrantedConcession': {
    call: (s, w) =>
      register.findGrantedConcession(s, {
        jobId: w.jobs.asked,
        requirement: 'joint-assembled',
        subjectId: w.joints.unmade,
      }),
    empty: true,
  },
  'corrections/listWaitingCorrections': {
    call: (s, w) => corrections.listWaitingCorrections(s, w.jobs.open),
  },
  'corrections/listCorrectionsOfJob': { call: (s, w) => corrections.listCorrectionsOfJob(s, w.jobs.open) },
  'corrections/listCorrectedFacts': { call: (s, w) => corrections.listCorrectedFacts(s, [w.jobs.open]) },
  'corrections/listCorrectionsOfJoint': {
    call: async (s, w, own) => {
      const { entryId } = await corrections.findCorrection(own, w.correctionId)
      return corrections.listCorrectionsOfJoint(s, (await entries.findEntry(own, entryId)).subjectId)
    },
  },
  'corrections/findCorrection': { call: (s, w) => corrections.findCorrection(s, w.correctionId) },
  'crew-figures/listCrewFigures': {
    call: async (s) => (await crewFigures.listCrewFigures(s)).torques,
  },
  'crew/listCrewPage': { call: (s) => crew.listCrewPage(s, first) },
  'crew/findCrewPerson': { call: (s, w) => crew.findCrewPerson(s, w.crewId) },
  'crew/crewOfMember': { call: (s, w) => crew.crewOfMember(s, w.memberId) },
  'dossier/instrumentIdsIn': PURE,
  'dossier/loadDossier': { call: (s, w) => dossier.loadDossier(s, w.jobs.open, Date.UTC(2026, 5, 1)) },
  'dossier/loadSystems': {
    // Handed a company's own systems, a stranger must get none of what is known of them.
    call: async (s, w) => dossier.loadSystems(s, { siteId: w.siteId }, [w.systemId]),
  },
  'dossier/loadSystemsAnywhere': { call: (s, w) => dossier.loadSystemsAnywhere(s, [w.systemId]) },
  'dossier/listCrewPeople': { call: (s) => dossier.listCrewPeople(s) },
  'effective/effective': {
    call: async (s, w, own) => {
      const { db, t, companyId } = own
      const rows = (await db.select().from(t.charges)).filter((row) => row.companyId === companyId)
      const effectiveRows = await effective.effective(s, rows)
      // It thins out the rows it is handed; what it looks up itself are corrections.
      return effectiveRows.length === rows.length ? [] : effectiveRows.concat(w as never)
    },
    empty: true,
  },
  'entries/findEntry': { call: (s, w) => entries.findEntry(s, w.entryId) },
  'entries/listEntriesById': {
    call: async (s, w) => [...(await entries.listEntriesById(s, [w.entryId])).values()],
  },
  'entries/listEntriesOfJob': { call: (s, w) => entries.listEntriesOfJob(s, [w.systemId], w.jobs.open) },
  'entries/inBrief': PURE,
  'entries/listWholeEntries': { call: (s, w) => entries.listWholeEntries(s, w.systemId) },
  'entries/listEntriesAbout': { call: (s, w) => entries.listEntriesAbout(s, w.chargeId) },
  'equipment-sheets/findSheet': { call: (s, w) => sheets.findSheet(s, w.sheetId) },
  'equipment-sheets/findSheetIfAny': { call: (s, w) => sheets.findSheetIfAny(s, w.sheetId) },
  'equipment-sheets/listSheets': { call: (s) => sheets.listSheets(s, first) },
  'equipment-sheets/listSheetNames': { call: (s) => sheets.listSheetNames(s) },
  'export-pages/listSystemsToExport': { call: (s) => exportPages.listSystemsToExport(s, '', 200) },
  'export-pages/listTestsToExport': { call: (s) => exportPages.listTestsToExport(s, '', 200) },
  'export-pages/listBesideJobs': {
    call: async (s, w) => [...(await exportPages.listBesideJobs(s, Object.values(w.jobs)))],
  },
  'export-pages/listTagsOfJoints': {
    call: async (s, w) => [...(await exportPages.listTagsOfJoints(s, Object.values(w.joints)))],
  },
  'export-pages/listUsesOfTools': { call: async (s) => [...(await exportPages.listUsesOfTools(s))] },
  'grouped/grouped': PURE,
  'named-things/listNamedThings': {
    call: async (s) => [
      ...(await named.listNamedThings(s, 'sites')),
      ...(await named.listNamedThings(s, 'instruments')),
      ...(await named.listNamedThings(s, 'equipment-sheets')),
    ],
  },
  'instruments-used/listInstrumentsById': {
    call: (s, w) => used.listInstrumentsById(s, Object.values(w.tools)),
  },
  'instruments-used/findInstrumentBare': { call: (s, w) => used.findInstrumentBare(s, w.tools.scale) },
  'instruments-used/asInstrument': PURE,
  'held-against/listHeldAgainst': {
    call: async (s, w) => {
      const { concessions, exclusions, corrections } = await heldAgainst.listHeldAgainst(s, w.systemId)
      return [...concessions, ...exclusions, ...corrections]
    },
  },
  'instrument-uses/usesLimit': PURE,
  'instrument-uses/countUses': {
    call: async (s, w) => {
      const stretch = { instrumentId: w.certified.instrumentId, since: null, until: 8e15 }
      const [counted] = await uses.countUses(s, [stretch])
      return counted?.total === 0 ? null : `${counted?.total} by ${w.mark}`
    },
  },
  'instrument-uses/listUsesByHand': {
    call: (s, w) => uses.listUsesByHand(s, [w.certified.instrumentId]),
  },
  'instrument-uses/listSpentChecks': {
    call: async (s, w) => {
      const checks = [{ id: w.certified.calibrationId, at: 0 }]
      const spent = await uses.listSpentChecks(s, [{ id: w.certified.instrumentId, checks }], 7)
      return [...spent.keys()]
    },
  },
  'calibration-files/findCalibration': {
    call: (s, w) => calibrationFiles.findCalibration(s, w.certified.calibrationId),
  },
  'calibration-files/listCalibrationFiles': {
    call: (s, w) => calibrationFiles.listCalibrationFiles(s, [w.certified.calibrationId]),
  },
  'calibration-files/findCalibrationFile': {
    call: (s, w) => calibrationFiles.findCalibrationFile(s, w.certified.fileId),
  },
  'calibration-files/isFileOfCalibration': {
    call: async (s, w, own) => {
      const { sha256 } = await calibrationFiles.findCalibrationFile(own, w.certified.fileId)
      return (await calibrationFiles.isFileOfCalibration(s, w.certified.calibrationId, sha256))
        ? `has it: ${w.mark}`
        : null
    },
  },
  'instruments/findInstrumentByNumber': {
    call: (s, w) => instruments.findInstrumentByNumber(s, w.spareToolId.slice(-8)),
  },
  'instruments/findInstrument': { call: (s, w) => instruments.findInstrument(s, w.spareToolId) },
  'instruments/listInstruments': { call: (s) => instruments.listInstruments(s, first) },
  'instruments/listInstrumentNames': { call: (s) => instruments.listInstrumentNames(s) },
  'instruments/listActiveInstruments': { call: (s) => instruments.listActiveInstruments(s) },
  'instruments/isSerialTaken': {
    call: async (s, w) =>
      (await instruments.isSerialTaken(s, 'torque-wrench', `spare-${w.mark}`.toLowerCase()))
        ? `taken by ${w.mark}`
        : null,
  },
  'invitations/findInvitation': { call: (s, w) => invitations.findInvitation(s, w.invitationId) },
  'invitations/listInvitations': { call: (s) => invitations.listInvitations(s, first) },
  'invitations/invitationByCode': PERSON,
  'jobs/findJob': { call: (s, w) => jobs.findJob(s, w.jobs.open) },
  'jobs/listJobs': { call: (s) => jobs.listJobs(s, first) },
  'jobs/listSystemIdsOfJob': { call: (s, w) => jobs.listSystemIdsOfJob(s, w.jobs.open) },
  'jobs/listOpenJobsOfSystem': { call: (s, w) => jobs.listOpenJobsOfSystem(s, w.systemId) },
  'jobs/jobIdsOf': { call: (s, w) => jobs.jobIdsOf(s, w.systemId) },
  'jobs/listJobEvents': { call: (s, w) => jobs.listJobEvents(s, w.jobs.open) },
  'jobs/countJobs': { call: (s) => jobs.countJobs(s) },
  'jobs/listJobsInHand': { call: (s) => jobs.listJobsInHand(s) },
  'jobs/listHandsOfJob': { call: (s, w) => jobs.listHandsOfJob(s, w.jobs.open) },
  'joints/findJointRow': { call: (s, w) => joints.findJointRow(s, w.joints.unmade) },
  'joints/findMakeAtWork': { call: (s, w) => joints.findMakeAtWork(s, w.makes.torqued) },
  'joints/findJoint': { call: (s, w) => joints.findJoint(s, w.joints.unmade) },
  'joints/withMakes': {
    call: async (s, w, own) => {
      const { joint } = await joints.findMakeAtWork(own, w.makes.torqued)
      const { makes, leakChecks } = await joints.withMakes(s, joint)
      return { makes, leakChecks }
    },
  },
  'joints/listJoints': { call: (s, w) => joints.listJoints(s, [w.systemId]) },
  'joints/toStep': PURE,
  'joints/provenanceIn': PURE,
  'judging/loadForJudging': { call: (s, w) => judging.loadForJudging(s, w.systemId) },
  'line-sets/findLineSet': { call: (s, w) => lineSets.findLineSet(s, w.lineSetId) },
  'line-sets/listLineSets': { call: (s, w) => lineSets.listLineSets(s, [w.systemId]) },
  'jobs/listJobsOfSystemAt': { call: (s, w) => jobs.listJobsOfSystemAt(s, w.systemId, 'open') },
  'line-sets/listChangesOfLines': { call: (s, w) => lineSets.listChangesOfLines(s, [w.lineSetId]) },
  'line-sets/hasMakes': {
    call: async (s, w) => ((await lineSets.hasMakes(s, w.lineSetId)) ? `made by ${w.mark}` : null),
  },
  'pages/pageOf': PURE,
  'pages/readCursor': PURE,
  'people/personByEmail': PERSON,
  'people/personById': PERSON,
  'people/addPerson': PERSON,
  'people/membershipsOf': PERSON,
  'people/companiesEverJoined': PERSON,
  'people/anyCompany': PERSON,
  'people/companyById': PERSON,
  'people/lockFounding': LOCK,
  'people/lockCompany': LOCK,
  'people/listMembers': { call: (s) => people.listMembers(s, first) },
  'people/findMember': { call: (s, w) => people.findMember(s, w.memberId) },
  'people/memberByEmail': {
    call: (s, w) => people.memberByEmail(s, `${w.team.warranty.name}@${w.team.warranty.companyName}.example`),
  },
  'people/memberOfPerson': { call: (s, w) => people.memberOfPerson(s, w.team.warranty.personId) },
  'people/countOtherOwners': { call: (s, w) => people.countOtherOwners(s, w.memberId) },
  'people/listCrew': { call: (s) => people.listCrew(s) },
  'photos/findPhoto': { call: (s, w) => photos.findPhoto(s, w.photoId) },
  'photos/listPhotosOfJob': { call: (s, w) => photos.listPhotosOfJob(s, w.jobs.open) },
  'photos/listPhotosOf': { call: (s, w) => photos.listPhotosOf(s, [w.tests.read]) },
  'photos/listEvidence': { call: (s, w) => photos.listEvidence(s, w.jobs.open) },
  'photos/findPhotoSubject': { call: (s, w) => photos.findPhotoSubject(s, 'joint', w.joints.unmade) },
  'reading-logs/findReadingLog': { call: (s, w) => readingLogs.findReadingLog(s, w.readingLogId) },
  'reading-logs/listReadingLogs': { call: (s, w) => readingLogs.listReadingLogs(s, w.tests.vacuumRunning) },
  'policy-versions/listPolicyVersions': { call: (s) => policyVersions.listPolicyVersions(s) },
  'policy-versions/findNewestPolicy': { call: (s) => policyVersions.findNewestPolicy(s) },
  'policy/findPolicy': { call: (s) => policy.findPolicy(s) },
  'policy/findPolicyVersion': { call: (s) => policy.findPolicyVersion(s, 1) },
  'released-lately/listReleasedLately': {
    call: (s) =>
      releasedLately.listReleasedLately(s, { since: 0, from: 0, limit: 10 }).then(({ jobs }) => jobs),
  },
  'recalls/listRestingSteps': {
    call: (s, w) => recalls.listRestingSteps(s, w.recalled.instrumentId, ever),
  },
  'recalls/listInspections': { call: (s, w) => recalls.listInspections(s, w.tools.flaringTool) },
  'recalls/listRestingTests': { call: (s, w) => recalls.listRestingTests(s, w.tools.pressureGauge, ever) },
  'recalls/findRecall': { call: (s, w) => recalls.findRecall(s, w.recalls.open) },
  'recalls/findRecallOf': {
    call: async (s, w, own) =>
      recalls.findRecallOf(s, (await recalls.findRecall(own, w.recalls.open)).calibrationId),
  },
  'recalls/listRecalls': { call: (s) => recalls.listRecalls(s) },
  'recalls/listRecallItems': { call: (s, w) => recalls.listRecallItems(s, w.recalls.open) },
  'lives/listLivesOf': {
    call: async (s, _w, own) => lives.listLivesOf(s, await lives.listFieldJointIds(own, '', 999)),
  },
  'lives/listFieldJointIdsOfJob': { call: (s, w) => lives.listFieldJointIdsOfJob(s, w.jobs.sealed) },
  'lives/listFoundJointIds': { call: (s, w) => lives.listFoundJointIds(s, w.callbackId), empty: true },
  'lives/listFieldJointIds': { call: (s) => lives.listFieldJointIds(s, '', 9) },
  'reliability/listCohorts': { call: (s) => reliability.listCohorts(s, 'all') },
  'reliability/listServed': { call: (s) => reliability.listServed(s, ['position']) },
  'reliability/listServedLately': { call: (s) => reliability.listServedLately(s, 9) },
  'reliability/listTight': { call: (s) => reliability.listTight(s, [], always, 9) },
  'reliability/listLeaked': { call: (s) => reliability.listLeaked(s, always, ['kind']), empty: true },
  'reliability/listLeakedOf': { call: (s) => reliability.listLeakedOf(s, [], always, 9), empty: true },
  'reliability/listTorquesRead': {
    call: async (s, _w, own) => {
      const [life] = await reliability.listServed(own, ['tubeOd'])
      return reliability.listTorquesRead(s, life?.tubeOdM ?? 0, always, 9)
    },
  },
  'reliability/listInService': { call: (s) => reliability.listInService(s, [], 9) },
  'reliability/listLeakedBy': { call: (s, w) => reliability.listLeakedBy(s, w.closedCallbackId) },
  'judged-groups/judgeGroupsBy': {
    call: async (s) => (await judgedGroups.judgeGroupsBy(s, ['kind'], always, 1e15)).reliability.groups,
  },
  'judged-groups/groupOf': PURE,
  'judged-groups/foundOn': PURE,
  'judged-groups/keyFor': PURE,
  'follow-ups/listFollowUpsOf': {
    call: (s, w) => followUps.listFollowUpsOf(s, [w.followUp.jointId]),
  },
  'follow-ups/listFollowUpsOfJob': { call: (s, w) => followUps.listFollowUpsOfJob(s, w.followUp.jobId) },
  'follow-ups/listTightChecks': {
    call: (s, w) => followUps.listTightChecks(s, [w.followUp.jointId]),
  },
  'reliability/countFirstFlares': {
    call: async (s) => (await reliability.countFirstFlares(s, { from: 0, to: 1e6 })).inspected || null,
  },
  'reliability/countFoundCauses': { call: (s) => reliability.countFoundCauses(s, always) },
  'running-checks/listRunningChecks': { call: (s, w) => runningChecks.listRunningChecks(s, [w.systemId]) },
  'running-checks/runningCheckIn': PURE,
  'search/search': { call: async (s, w) => (await search.search(s, `${w.mark}-IN-SPARE`)).hits },
  'section-tests/listPressureTests': { call: (s, w) => tests.listPressureTests(s, [w.systemId]) },
  'section-tests/listEvacuations': { call: (s, w) => tests.listEvacuations(s, [w.systemId]) },
  'section-tests/findPressureTest': { call: (s, w) => tests.findPressureTest(s, w.tests.read) },
  'section-tests/findEvacuation': { call: (s, w) => tests.findEvacuation(s, w.tests.vacuumRead) },
  'section-tests/listTestsInBrief': { call: (s, w) => tests.listTestsInBrief(s, w.systemId, 'pressure') },
  'section-tests/lockSectionTest': LOCK,
  'sheets-used/findSheetFigures': { call: (s, w) => sheetsUsed.findSheetFigures(s, w.sheetId) },
  'sheets-used/listSheetsById': { call: (s, w) => sheetsUsed.listSheetsById(s, [w.sheetId]) },
  'sheets-used/asSheet': PURE,
  'sites/findSite': { call: (s, w) => sites.findSite(s, w.siteId) },
  'sites/listSites': { call: (s) => sites.listSites(s, first) },
  'sites/searchTextOf': PURE,
  'system-history/listEntriesOfChain': {
    call: async (s, w) => (await systemHistory.listEntriesOfChain(s, w.systemId, first)).items,
  },
  'systems/findSystem': { call: (s, w) => systems.findSystem(s, w.systemId) },
  'systems/listSystemsOfSites': { call: (s, w) => systems.listSystemsOfSites(s, [w.siteId]) },
  'systems/listUnits': { call: (s, w) => systems.listUnits(s, [w.systemId]) },
  'systems/findUnit': { call: (s, w) => systems.findUnit(s, w.unitId) },
  'systems/listPlacedJoints': { call: (s, w) => systems.listPlacedJoints(s, w.systemId) },
  'systems/loadSystem': { call: (s, w) => systems.loadSystem(s, w.systemId) },
  'systems/listJobsOfSystem': { call: (s, w) => systems.listJobsOfSystem(s, w.systemId) },
  'systems/holdChain': LOCK,
  'systems/nextJointNumber': {
    // The first joint of a system that is not there would be number 1.
    call: async (s, w) => (await systems.nextJointNumber(s, w.systemId)) - 1,
  },
  'systems/isTagPrefixTaken': {
    call: async (s, w, own) => {
      const { tagPrefix } = await systems.findSystem(own, w.systemId)
      return (await systems.isTagPrefixTaken(s, tagPrefix)) ? `taken by ${w.mark}` : null
    },
  },
  'tools-at-hand/findToolsAtHand': {
    call: async (s, w) => {
      const atHand = await toolsAtHand.findToolsAtHand(s, {
        systemId: w.systemId,
        memberId: w.team.technician.memberId,
      })
      return atHand.instrumentIds
    },
  },
  'tools-at-hand/handFirst': PURE,
  'tools-at-hand/listToolsUsedAt': { call: (s, w) => toolsAtHand.listToolsUsedAt(s, w.systemId) },
  'tags/tagsMeant': PURE,
  'tags/listJointsByTag': { call: (s, w) => tags.listJointsByTag(s, w.tag) },
  'second-step/ruleOf': { call: (s) => secondSteps.ruleOf(s) },
  'second-step/listWithoutSecondStep': { call: (s) => secondSteps.listWithoutSecondStep(s) },
  'second-step/authenticatorOf': PERSON,
  'second-step/hasSecondStep': PERSON,
  'second-step/countRecoveryCodes': PERSON,
  'second-step/replaceRecoveryCodes': PERSON,
  'second-step/useRecoveryCode': PERSON,
  'second-step/useTimeStep': PERSON,
  'second-step/removeSecondStep': PERSON,
  'second-step/addWaitingSignIn': PERSON,
  'second-step/findWaitingSignIn': PERSON,
  'second-step/beginStep': PERSON,
  'second-step/findStep': PERSON,
  'second-step/endStep': PERSON,
  'second-step/needsSecondStep': PERSON,
  'second-step/removeOwnAuthenticator': PERSON,
  'second-step/forgetWithoutSecondStep': PERSON,
  'second-step/isWantedOf': { because: 'asks nothing of the database' },
  'identity-providers/findProvider': {
    call: async (s) => {
      const found = await identityProviders.findProvider(s)
      return found === null ? [] : [found]
    },
  },
  'identity-providers/keepProvider': { because: 'only writes; tests/http/identity-provider.test.ts' },
  'identity-providers/removeProvider': { because: 'only writes; the same' },
  'identity-providers/endSessionsByProvider': { because: 'only writes; the same' },
  'identity-providers/wayInByCode': PERSON,
  'identity-providers/waysInByDomain': PERSON,
  'identity-providers/anyWayIn': PERSON,
  'identity-providers/memberNamed': {
    call: async (s) =>
      [await identityProviders.memberNamed(s, 'https://provider.example', 'none')].filter(
        (one) => one !== null,
      ),
    empty: true,
  },
  'identity-providers/memberByEmail': {
    call: async (s) =>
      [await identityProviders.memberByEmail(s, 'https://provider.example', 'none@nowhere.example')].filter(
        (one) => one !== null,
      ),
    empty: true,
  },
  'identity-providers/tieIdentity': { because: 'only writes; the same' },
  'identity-providers/useIdentity': { because: 'only writes; the same' },
  'passkeys/listPasskeys': PERSON,
  'passkeys/passkeyByCredential': PERSON,
  'passkeys/addPasskey': PERSON,
  'passkeys/usePasskey': PERSON,
  'passkeys/renameOwnPasskey': PERSON,
  'passkeys/removeOwnPasskey': PERSON,
  'passkeys/askWaiting': PERSON,
  'sign-ins/addSignIn': PERSON,
  'sign-ins/removeOldSignIns': PERSON,
  'sign-ins/listOwnSignIns': PERSON,
  'sign-ins/listOwnSessions': PERSON,
  'sign-ins/listSignInsOfMember': {
    call: (s, w) => signIns.listSignInsOfMember(s, w.team.warranty.personId, 0),
  },
  'sign-ins/listSessionsOfMember': {
    call: (s, w) => signIns.listSessionsOfMember(s, w.team.warranty.personId, 0),
  },
  'webhooks/listWebhooks': { call: (s) => webhooks.listWebhooks(s, first) },
  'webhooks/findWebhook': { call: (s, w) => webhooks.findWebhook(s, w.webhookId) },
  'webhooks/listWebhookDeliveries': {
    call: (s, w) => webhooks.listWebhookDeliveries(s, w.webhookId, first),
  },
  'webhooks/findWebhookDelivery': { call: (s, w) => webhooks.findWebhookDelivery(s, w.deliveryId) },
  'tokens/listTokens': { call: (s, w) => tokens.listTokens(s, w.team.technician.memberId, first) },
  'tokens/findOwnToken': { call: (s, w) => tokens.findOwnToken(s, w.team.technician.memberId, w.tokenId) },
}
