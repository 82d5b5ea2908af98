// Which words does the record know? Constant lists, and the types made from them.

/** Those that the service speaks; `server/words` has a folder for each. */
export const LANGUAGES = ['en', 'es'] as const
export type Language = (typeof LANGUAGES)[number]

export const ROLES = ['technician', 'manager', 'warranty', 'owner'] as const
export type Role = (typeof ROLES)[number]

export const JOB_KINDS = [
  'installation',
  'repair',
  'maintenance',
  'replacement',
  'relocation',
  'removal',
] as const
export type JobKind = (typeof JOB_KINDS)[number]

/** A job is open while work is recorded, submitted while it waits for audit, sealed once signed off. */
export const JOB_STAGES = ['open', 'submitted', 'sealed'] as const
export type JobStage = (typeof JOB_STAGES)[number]

/** What moved a job from one stage to another. */
export const JOB_TURNS = ['opened', 'submitted', 'sent-back', 'signed-off', 'reopened'] as const
export type JobTurn = (typeof JOB_TURNS)[number]
/** What happened to a job: its turns, and that it went from one person to another. */
export const JOB_EVENTS = [...JOB_TURNS, 'handed-over'] as const
export type JobEvent = (typeof JOB_EVENTS)[number]

export const UNIT_ROLES = ['outdoor', 'indoor', 'branch'] as const
export type UnitRole = (typeof UNIT_ROLES)[number]

export const LINES = ['liquid', 'gas'] as const
export type Line = (typeof LINES)[number]

export const JOINT_KINDS = [
  'flare',
  'brazed',
  'press',
  'quick-coupling',
  'compression',
  'adapter',
  'service-port',
  'valve-cap',
] as const
export type JointKind = (typeof JOINT_KINDS)[number]

/** The kinds that a line set may be laid with. */
export const LINE_SET_JOINT_KINDS = ['flare', 'brazed', 'press', 'quick-coupling'] as const
export type LineSetJointKind = (typeof LINE_SET_JOINT_KINDS)[number]

export const JOINT_ORIGINS = ['field', 'factory', 'existing'] as const
export type JointOrigin = (typeof JOINT_ORIGINS)[number]

/** Where a joint sits on its line. `end` names a place that a line set lays out; extra joints are in between. */
export const JOINT_PLACES = ['outdoor-liquid', 'outdoor-gas', 'indoor-liquid', 'indoor-gas'] as const

export const TUBING = ['new', 'reused'] as const
export type Tubing = (typeof TUBING)[number]

export const MOUNTINGS = ['floor', 'window', 'wall', 'ceiling'] as const
export type Mounting = (typeof MOUNTINGS)[number]

export const ROOM_METHODS = ['unventilated', 'sheet-table', 'ventilated-or-detector'] as const
export type RoomMethod = (typeof ROOM_METHODS)[number]

export const REFRIGERANT_NAMES = ['R-32', 'R-410A', 'R-454B', 'R-22', 'R-134a', 'R-290'] as const
export type RefrigerantName = (typeof REFRIGERANT_NAMES)[number]

export const CHARGE_SCHEMES = ['per-line', 'total-length', 'maker-table'] as const
export type ChargeScheme = (typeof CHARGE_SCHEMES)[number]

export const INSTRUMENT_KINDS = [
  'torque-wrench',
  'pressure-gauge',
  'vacuum-gauge',
  'thermometer',
  'scale',
  'leak-detector',
  'flaring-tool',
  'press-tool',
  'tube-cutter',
  'deburring-tool',
] as const
export type InstrumentKind = (typeof INSTRUMENT_KINDS)[number]

export const CALIBRATION_RESULTS = ['in-tolerance', 'out-of-tolerance', 'adjusted'] as const
export type CalibrationResult = (typeof CALIBRATION_RESULTS)[number]

export const CALIBRATION_BASES = ['certificate', 'own-check'] as const
export type CalibrationBasis = (typeof CALIBRATION_BASES)[number]
/** As what the certificate of a calibration is kept. */
export const CERTIFICATE_MEDIA_TYPES = ['application/pdf', 'image/jpeg', 'image/png'] as const
export type CertificateMediaType = (typeof CERTIFICATE_MEDIA_TYPES)[number]

/** What is recorded for a make of a joint, in the order of the work. `closing` is for ports and caps. */
export const STEP_KINDS = [
  'preparation',
  'flare',
  'brazing',
  'pressing',
  'inspection',
  'assembly',
  'torque',
  'closing',
  'leak-check',
] as const
export type StepKind = (typeof STEP_KINDS)[number]

export const POINT_ANSWERS = ['yes', 'no', 'not-applicable'] as const
export type PointAnswer = (typeof POINT_ANSWERS)[number]

export const PREPARATION_POINTS = ['squareCut', 'deburred', 'burrsKeptOut', 'tubeClean', 'nutOn'] as const
export const INSPECTION_POINTS = ['even', 'smooth', 'centred', 'noCracks', 'noFlatSpots'] as const
export const ASSEMBLY_POINTS = [
  'lubricatedAsSheet',
  'threadsDry',
  'insideDry',
  'aligned',
  'startedByHand',
  'backingWrench',
] as const
export const CLOSING_POINTS = ['coreTight', 'capOn', 'capTight'] as const

export const FLARE_METHODS = ['powered', 'manual-clutch', 'manual-wing'] as const
export type FlareMethod = (typeof FLARE_METHODS)[number]

export const DIAMETER_CHECKS = ['measured', 'gauge-pass', 'not-checked'] as const
export type DiameterCheck = (typeof DIAMETER_CHECKS)[number]

export const INSPECTION_OUTCOMES = ['accepted', 'rejected'] as const
export type InspectionOutcome = (typeof INSPECTION_OUTCOMES)[number]

export const LUBRICATIONS = ['face', 'face-and-back', 'none', 'sealant'] as const
export type Lubrication = (typeof LUBRICATIONS)[number]

export const TORQUE_INDICATIONS = ['set-and-clicked', 'read', 'angle-by-manual', 'not-measured'] as const
export type TorqueIndication = (typeof TORQUE_INDICATIONS)[number]

export const TORQUE_VERDICTS = ['in-range', 'low', 'high', 'not-proven', 'not-measured'] as const
export type TorqueVerdict = (typeof TORQUE_VERDICTS)[number]

export const CIRCUIT_STATES = ['empty', 'charged', 'under-test-pressure'] as const
export type CircuitState = (typeof CIRCUIT_STATES)[number]

export const DECISION_RULES = ['simple', 'guarded'] as const
export type DecisionRule = (typeof DECISION_RULES)[number]

export const LEAK_CHECK_METHODS = [
  'bubble',
  'refrigerant-detector',
  'tracer-hydrogen',
  'tracer-helium',
  'ultrasonic',
  'other',
] as const
export type LeakCheckMethod = (typeof LEAK_CHECK_METHODS)[number]

export const LEAK_CHECK_MEDIA = ['nitrogen', 'tracer-mix', 'refrigerant'] as const
export type LeakCheckMedium = (typeof LEAK_CHECK_MEDIA)[number]

export const LEAK_CHECK_RESULTS = ['none-found', 'found'] as const
export type LeakCheckResult = (typeof LEAK_CHECK_RESULTS)[number]

export const SENSITIVITY_SOURCES = ['instrument', 'trial-leak', 'built-in'] as const
export type SensitivitySource = (typeof SENSITIVITY_SOURCES)[number]

/** What a pressure test may be recorded with. The last three are recorded and then judged as void. */
export const TEST_MEDIA = ['nitrogen', 'helium', 'nitrogen-trace', 'carbon-dioxide', 'oxygen', 'air'] as const
export type TestMedium = (typeof TEST_MEDIA)[number]

export const TRACERS = ['hydrogen', 'helium', 'refrigerant'] as const
export type Tracer = (typeof TRACERS)[number]

export const PRESSURE_STAGES = ['raise', 'hold'] as const
export type PressureStage = (typeof PRESSURE_STAGES)[number]

export const TEST_CONDITIONS = ['shade', 'sun', 'rain', 'wind'] as const
export type TestConditions = (typeof TEST_CONDITIONS)[number]

export const VACUUM_PHASES = ['pull', 'break', 'decay'] as const
export type VacuumPhase = (typeof VACUUM_PHASES)[number]

export const VACUUM_GAUGE_PLACES = ['far-side', 'near-pump'] as const
export const VACUUM_ISOLATIONS = ['core-tool', 'manifold'] as const

export const SECTION_TEST_KINDS = ['pressure', 'evacuation'] as const
export type SectionTestKind = (typeof SECTION_TEST_KINDS)[number]

export const PRESSURE_VERDICTS = ['holds', 'falls', 'cannot-tell', 'void'] as const
export type PressureVerdict = (typeof PRESSURE_VERDICTS)[number]

export const VACUUM_VERDICTS = ['tight', 'moisture', 'leak', 'cannot-tell'] as const
export type VacuumVerdict = (typeof VACUUM_VERDICTS)[number]

export const CHARGE_DIRECTIONS = ['in', 'out', 'factory-released'] as const
export type ChargeDirection = (typeof CHARGE_DIRECTIONS)[number]

export const CHARGE_SOURCES = ['factory', 'virgin', 'reclaimed', 'recovered-here'] as const
export type ChargeSource = (typeof CHARGE_SOURCES)[number]

export const RUNNING_MODES = ['cooling', 'heating'] as const
export type RunningMode = (typeof RUNNING_MODES)[number]

export const OUTCOMES = ['met', 'open', 'failed', 'requested', 'conceded', 'not-applicable'] as const
export type Outcome = (typeof OUTCOMES)[number]

/** The hold points, in the order of the work. */
export const REQUIREMENT_CODES = [
  'line-set-within-limits',
  'every-joint-made',
  'joint-prepared',
  'flare-accepted',
  'joint-assembled',
  'joint-torque-in-range',
  'braze-purged',
  'press-verified',
  'joint-leak-checked',
  'ports-and-caps-closed',
  'standing-pressure-held',
  'vacuum-held',
  'charge-matches',
  'room-large-enough',
  'running-as-specified',
  'handler-qualified',
  'instruments-confirmed',
  'evidence-attached',
  'order-of-work',
] as const
export type RequirementCode = (typeof REQUIREMENT_CODES)[number]

export const SUBJECT_KINDS = ['joint', 'line-set', 'unit', 'system', 'instrument', 'person', 'job'] as const
export type SubjectKind = (typeof SUBJECT_KINDS)[number]

/**
 * What became of a requirement that was not met. `corrected`: the record was, not the work; `other-criteria`: the same
 * facts, judged by criteria that were changed since; `not-asked`: the requirement does not ask it any more.
 */
export const NONCONFORMITY_DISPOSITIONS = [
  'remade',
  're-tested',
  'corrected',
  'conceded',
  'other-criteria',
  'not-asked',
] as const
export type NonconformityDisposition = (typeof NONCONFORMITY_DISPOSITIONS)[number]

/** What a photo may show. */
export const PHOTO_SUBJECT_KINDS = [
  'job',
  'system',
  'unit',
  'line-set',
  'joint',
  'pressure-test',
  'evacuation',
] as const
export type PhotoSubjectKind = (typeof PHOTO_SUBJECT_KINDS)[number]

/** What becomes of a record once the error of its instrument is taken out. */
export const RECALL_JUDGEMENTS = ['fails', 'doubtful', 'stands'] as const
export type RecallJudgementWord = (typeof RECALL_JUDGEMENTS)[number]

/** What was done about a record under recall; a follow-up that is arranged decides nothing yet. */
export const RECALL_DISPOSITIONS = ['stands', 'left-as-is', 'put-right', 'follow-up'] as const
export type RecallDisposition = (typeof RECALL_DISPOSITIONS)[number]

export const CERTIFICATE_STATES = ['current', 'superseded', 'recalled'] as const
export type CertificateState = (typeof CERTIFICATE_STATES)[number]

export const CORRECTION_STATES = ['accepted', 'waiting', 'refused'] as const
export type CorrectionState = (typeof CORRECTION_STATES)[number]

/** What a manager reads part by part in an audit, and may mark or ask about. */
export const AUDIT_SUBJECT_KINDS = ['job', 'system', 'joint', 'pressure-test', 'evacuation'] as const
export type AuditSubjectKind = (typeof AUDIT_SUBJECT_KINDS)[number]
export const AUDIT_MARKS = ['accepted', 'withdrawn'] as const
export type AuditMark = (typeof AUDIT_MARKS)[number]
/** What is said in the thread of a question: by whoever was asked, by the manager again, and that it is enough. */
export const AUDIT_REPLY_KINDS = ['answer', 'question', 'settled'] as const
export type AuditReplyKind = (typeof AUDIT_REPLY_KINDS)[number]
/** What stands out in a job's record, and raises its rank in the audit list. */
export const SURCHARGE_CODES = [
  'weak-joint-check',
  'uncertain-hold',
  'late-entry',
  'quick-flares',
  'pass-after-fail',
  'changed-by-correction',
  'near-limit-torque',
] as const
export type SurchargeCode = (typeof SURCHARGE_CODES)[number]
/** Who a question waits for. */
export const QUESTION_STATES = ['for-crew', 'for-manager', 'settled'] as const
export type QuestionState = (typeof QUESTION_STATES)[number]

/** What other programs are told of, by webhook. */
export const WEBHOOK_EVENTS = [
  'job.signed_off',
  'certificate.superseded',
  'callback.opened',
  'callback.closed',
  'recall.opened',
] as const
export type WebhookEvent = (typeof WEBHOOK_EVENTS)[number]

export const TOKEN_SCOPES = ['read', 'write'] as const
export type TokenScope = (typeof TOKEN_SCOPES)[number]

/** Whose sessions a company may want a second step of, beside nobody's. */
export const SECOND_STEP_FOR = ['managers', 'everybody'] as const
export type SecondStepFor = (typeof SECOND_STEP_FOR)[number]

export const CALLBACK_PARTS = [
  'joint',
  'service-valve',
  'port-core',
  'cap',
  'coil',
  'tubing',
  'compressor',
  'other',
] as const
export type CallbackPart = (typeof CALLBACK_PARTS)[number]
/** Where on a joint a leak was. */
export const LEAK_PLACES = ['flare-face', 'nut', 'tube-behind-nut', 'body'] as const
export type LeakPlace = (typeof LEAK_PLACES)[number]
/** Causes that are met again and again; another one is told in words. */
export const LEAK_CAUSES = [
  'burr',
  'short-flare',
  'crack',
  'over-torque',
  'under-torque',
  'misaligned',
  'thread-oil',
  'vibration',
  'factory',
  'service-valve',
  'not-a-joint',
  'unknown',
] as const
export type LeakCause = (typeof LEAK_CAUSES)[number]
/** By what may joints be grouped to see which come back? */
export const RELIABILITY_DIMENSIONS = [
  'position',
  'tubeOd',
  'kind',
  'flareMethod',
  'flaringTool',
  'wrench',
  'technician',
  'model',
  'refrigerant',
  'month',
] as const
export type ReliabilityDimension = (typeof RELIABILITY_DIMENSIONS)[number]

/** By what makings are added up; `all` is every one of them. */
export const ROLLUP_DIMENSIONS = ['all', ...RELIABILITY_DIMENSIONS] as const
export type RollupDimension = (typeof ROLLUP_DIMENSIONS)[number]
/** What is added up of them (rules/cohorts.ts). */
export const ROLLUP_PARTS = [
  'entered',
  'gone-0',
  'gone-1',
  'gone-2',
  'gone-3',
  'left-0',
  'left-1',
  'left-2',
  'left-3',
  'age-tight',
  'age-leaked',
  'inspected',
  'accepted',
] as const
export type RollupPart = (typeof ROLLUP_PARTS)[number]

export const CALLBACK_OUTCOMES = ['found', 'none-found', 'not-yet-known'] as const
export type CallbackOutcome = (typeof CALLBACK_OUTCOMES)[number]
export const RESPONSIBILITIES = ['workmanship', 'part', 'third-party', 'wear', 'unknown'] as const
export type Responsibility = (typeof RESPONSIBILITIES)[number]
/** How far a claim on the maker is. */
export const CLAIM_STATUSES = ['to-send', 'sent', 'accepted', 'refused', 'paid'] as const
export type ClaimStatus = (typeof CLAIM_STATUSES)[number]
export const TORQUE_FAMILIES = ['jis-b-8607-class-2', 'kgf-cm-set', 'en-378-2'] as const
export type TorqueFamily = (typeof TORQUE_FAMILIES)[number]
/** By what is a thing found in the search box? `serial-end` is a serial read backwards, for who has its last signs only. */
export const SEARCH_KINDS = [
  'serial',
  'serial-end',
  'tag',
  'instrument',
  'reference',
  'customer',
  'address',
] as const
export type SearchKind = (typeof SEARCH_KINDS)[number]

/** By what may a system's history be read in part? Each part with the kinds of entries that belong to it. */
export const HISTORY_TOPICS = {
  joints: [
    'make-started',
    'preparation-recorded',
    'flare-recorded',
    'brazing-recorded',
    'pressing-recorded',
    'inspection-recorded',
    'assembly-recorded',
    'torque-recorded',
    'closing-recorded',
    'leak-check-recorded',
  ],
  tests: [
    'pressure-test-started',
    'pressure-readings-recorded',
    'pressure-log-taken',
    'pressure-test-concluded',
    'evacuation-started',
    'vacuum-readings-recorded',
    'vacuum-log-taken',
    'evacuation-concluded',
  ],
  charge: ['charge-recorded', 'running-check-recorded'],
  'set-up': [
    'system-added',
    'system-changed',
    'set-up-copied',
    'unit-added',
    'unit-replaced',
    'unit-removed',
    'warranty-stated',
    'line-set-laid',
    'line-set-changed',
    'joint-added',
    'joint-retired',
    'joint-left-out',
  ],
  jobs: [
    'job-opened',
    'job-changed',
    'job-handed-over',
    'job-submitted',
    'job-sent-back',
    'job-signed-off',
    'job-reopened',
    'certificate-issued',
    'concession-requested',
    'concession-granted',
    'concession-refused',
    'nonconformity-found',
    'nonconformity-disposed',
    'audit-accepted',
    'audit-mark-withdrawn',
    'question-asked',
    'question-answered',
    'question-asked-again',
    'question-settled',
  ],
  callbacks: ['callback-opened', 'callback-changed', 'callback-closed'],
  corrections: [
    'fact-corrected',
    'correction-asked',
    'correction-accepted',
    'correction-refused',
    'photo-attached',
  ],
} as const satisfies Record<string, readonly string[]>
export type HistoryTopic = keyof typeof HISTORY_TOPICS
