// What does each calculator ask, and by which formula does it answer?

import type { QuantityKind, UnitOf } from '../../server/trade/units.ts'
import { coded } from '../../server/words/coded.ts'
import { say } from '../../server/words/say.ts'
import type { Harm } from '../parts/caution.tsx'
import type { Option, UnitOption } from '../parts/field.tsx'
import { unitOptions } from '../section-tests/unit-options.ts'

interface Asked {
  name: string
  label: string
  hint?: string
  required?: boolean
}
export type CalculatorField =
  | (Asked & { ask: 'quantity'; quantity: string; units: UnitOption[]; unit: string })
  | (Asked & { ask: 'number' })
  | (Asked & { ask: 'text' })
  | (Asked & { ask: 'moment' })
  | (Asked & { ask: 'choice'; options: Option[]; value?: string; choose?: string })
  | { ask: 'decay-readings'; name: string; rows: number; units: UnitOption[]; unit: string }

export interface Calculator {
  title: string
  /** What it is for, in a line. */
  lead: string
  fields: CalculatorField[]
  /** The formula in words, and where it is from. */
  formula: string
  /** Where what is worked out here can hurt somebody. */
  cautions: readonly CalculatorCaution[]
}

interface CalculatorCaution {
  harm: Harm
  text: string
}

export type CalculatorPath =
  | 'torque-setting'
  | 'pressure-hold'
  | 'hold-time'
  | 'vacuum-decay'
  | 'charge'
  | 'room-area'
  | 'saturation'
  | 'flare'
  | 'fill-pressure'
  | 'leak-rate'
  | 'tube-volume'
  | 'running-check'
  | 'units'
  | 'callback-rate'

const quantity = <Kind extends QuantityKind>(
  kind: Kind,
  units: readonly [UnitOf<Kind>, ...UnitOf<Kind>[]],
  asked: Asked,
): CalculatorField => ({
  ask: 'quantity',
  quantity: kind,
  units: unitOptions(kind, units),
  unit: units[0],
  required: true,
  ...asked,
})
const gauge = (name: string, label: string, more: Partial<Asked> = {}) =>
  quantity('gauge-pressure', ['MPa', 'psi', 'bar', 'kPa'], { name, label, ...more })
const degrees = (name: string, label: string, more: Partial<Asked> = {}) =>
  quantity('temperature', ['degC', 'degF'], { name, label, ...more })
const difference = (name: string, label: string, more: Partial<Asked> = {}) =>
  quantity('temperature-difference', ['K', 'degF.diff'], { name, label, ...more })
const vacuum = (name: string, label: string, more: Partial<Asked> = {}) =>
  quantity('absolute-pressure', ['micron', 'Pa', 'mbar', 'torr'], { name, label, ...more })
const torque = (name: string, label: string, more: Partial<Asked> = {}) =>
  quantity('torque', ['N.m', 'ft.lbf', 'in.lbf', 'kgf.cm'], { name, label, ...more })
const size = (name: string, label: string, more: Partial<Asked> = {}) =>
  quantity('length', ['mm', 'in'], { name, label, ...more })
const run = (name: string, label: string) => quantity('length', ['m', 'ft'], { name, label })
const mass = (name: string, label: string) => quantity('mass', ['kg', 'g', 'oz', 'lb'], { name, label })
const inside = (required: boolean) =>
  quantity('volume', ['L', 'mL', 'cu.in'], {
    name: 'internalVolume',
    label: say.calculators.volumeInside,
    hint: say.calculators.ofTheTubesUnder,
    required,
  })
const height = () =>
  quantity('length', ['m', 'ft'], {
    name: 'siteElevation',
    label: say.calculators.heightAboveTheSea,
    hint: say.calculators.emptyAtSeaLevel,
    required: false,
  })
const refrigerant = (names: readonly string[], required = true): CalculatorField => ({
  ask: 'choice',
  name: 'refrigerant',
  label: say.calculators.refrigerant,
  options: names.map((name) => ({ value: name, label: name })),
  required,
  ...(required ? {} : { choose: say.calculators.none }),
})
const ALL = ['R-32', 'R-454B', 'R-410A', 'R-290', 'R-134a', 'R-22']
const FLAMMABLE = ['R-32', 'R-454B', 'R-290']
const errors = () => [
  gauge('gaugeUncertainty', say.calculators.oneGaugeReading, {
    hint: say.calculators.empty75Kpa,
    required: false,
  }),
  difference('temperatureUncertainty', say.calculators.oneTemperatureReading, {
    hint: say.calculators.empty0125K,
    required: false,
  }),
]

const underPressure = () =>
  ({
    harm: 'pressure',
    text: say.calculators.dontTightenLoosenOr,
  }) as const
const theNitrogen = () =>
  ({
    harm: 'oxygen',
    text: say.calculators.dryNitrogenOnlyOxygen,
  }) as const
const flammableRoom = () =>
  ({
    harm: 'flammable',
    text: say.calculators.noIgnitionSourceNear,
  }) as const

export const theCalculators = (): Record<CalculatorPath, Calculator> => ({
  'torque-setting': {
    title: say.calculators.torqueSetting,
    lead: say.calculators.whatToSetOn,
    fields: [
      torque('low', say.calculators.rangeAtTheNut),
      torque('high', 'to'),
      size('adapter.wrenchLength', say.calculators.wrenchDriveToGrip, {
        hint: say.calculators.onlyWithAnAdapter,
        required: false,
      }),
      size('adapter.offset', say.calculators.adapterDriveToNut, {
        hint: say.calculators.withAMinusWhen,
        required: false,
      }),
      {
        ask: 'number',
        name: 'adapter.angleDegrees',
        label: say.calculators.angleBetweenTheTwo,
        hint: say.calculators.emptyInLine,
        required: false,
      },
      {
        ask: 'number',
        name: 'wrenchAccuracyPercent',
        label: say.calculators.theWrenchsAccuracy,
        hint: say.calculators.empty4TheUsual,
        required: false,
      },
      torque('reading', say.calculators.whatItShowedOr, {
        hint: say.calculators.toJudgeATorque,
        required: false,
      }),
    ],
    cautions: [
      {
        harm: 'pressure',
        text: say.calculators.neverTightenOrLoosen,
      },
    ],
    formula: say.calculators.settingTorqueLL,
  },
  'pressure-hold': {
    title: say.calculators.pressureHold,
    lead: say.calculators.whetherTheChangeOf,
    fields: [
      gauge('start.gaugePressure', say.calculators.gaugePressureAtThe),
      degrees('start.temperature', say.calculators.temperatureAtTheStart),
      { ask: 'moment', name: 'start.at', label: say.calculators.whenItStarted },
      gauge('end.gaugePressure', say.calculators.gaugePressureAtTheEnd),
      degrees('end.temperature', say.calculators.temperatureAtTheEnd),
      { ask: 'moment', name: 'end.at', label: say.calculators.whenItEnded },
      inside(false),
      refrigerant(ALL, false),
      height(),
      ...errors(),
    ],
    cautions: [underPressure(), theNitrogen()],
    formula: say.calculators.aClosedVolumeKeeps,
  },
  'hold-time': {
    title: say.calculators.holdTime,
    lead: say.calculators.howLongToHold,
    fields: [
      gauge('gaugePressure', say.calculators.testPressureGauge),
      inside(true),
      refrigerant(ALL),
      quantity('mass-rate', ['g/yr'], {
        name: 'leakToSee',
        label: say.calculators.leakToSee,
        hint: say.calculators.ofRefrigerantInService,
      }),
      difference('temperatureChange', say.calculators.temperatureChangeMeanwhile, {
        hint: say.calculators.emptyNone,
        required: false,
      }),
      height(),
      ...errors(),
    ],
    cautions: [underPressure(), theNitrogen()],
    formula: say.calculators.timeVolumeTheSmaller,
  },
  'vacuum-decay': {
    title: say.calculators.vacuumDecay,
    lead: say.calculators.whetherTheRiseAfter,
    fields: [
      {
        ask: 'decay-readings',
        name: 'readings',
        rows: 10,
        units: unitOptions('absolute-pressure', ['micron', 'Pa', 'mbar', 'torr']),
        unit: 'micron',
      },
      degrees('temperature', say.calculators.warmestPart, {
        hint: say.calculators.empty20CIs,
        required: false,
      }),
      vacuum('target', say.calculators.pulledTo, { hint: say.calculators.empty500Micron, required: false }),
      vacuum('riseLimit', say.calculators.notAbove, {
        hint: say.calculators.empty1500Micron,
        required: false,
      }),
      vacuum('gaugeResolution', say.calculators.theGaugesSmallestStep, {
        hint: say.calculators.empty1Micron,
        required: false,
      }),
      inside(false),
    ],
    cautions: [
      {
        harm: 'electricity',
        text: say.calculators.neverRunACompressor,
      },
    ],
    formula: say.calculators.fourCurvesAreFitted,
  },
  charge: {
    title: say.calculators.charge,
    lead: say.calculators.whatALineOf,
    fields: [
      mass('factoryCharge', say.calculators.fromTheFactory),
      run('prechargedLength', say.calculators.preChargedFor),
      run('length', say.calculators.lengthOfTheLine),
      quantity('mass-per-length', ['g/m', 'oz/ft'], {
        name: 'adder',
        label: say.calculators.forEachLengthMore,
      }),
      refrigerant(ALL),
    ],
    cautions: [
      {
        harm: 'frostbite',
        text: say.calculators.liquidRefrigerantFreezesSkin,
      },
    ],
    formula: say.calculators.toAddLengthPre,
  },
  'room-area': {
    title: say.calculators.roomArea,
    lead: say.calculators.howLargeAnUnventilated,
    fields: [
      refrigerant(FLAMMABLE),
      mass('charge', say.calculators.chargeOfTheWhole),
      {
        ask: 'choice',
        name: 'mounting',
        label: say.calculators.theUnitHangsAt,
        options: [
          { value: 'floor', label: say.calculators.theFloor06 },
          { value: 'window', label: say.calculators.aWindow10 },
          { value: 'wall', label: say.calculators.theWall18 },
          { value: 'ceiling', label: say.calculators.theCeiling22 },
        ],
        value: 'wall',
        required: true,
      },
      quantity('area', ['m2', 'sq.ft'], {
        name: 'floorArea',
        label: say.calculators.floorAreaOfThe,
        hint: say.calculators.theSmallestWithAn,
        required: false,
      }),
    ],
    cautions: [flammableRoom()],
    formula: say.calculators.areaMass25,
  },
  saturation: {
    title: say.calculators.saturation,
    lead: say.calculators.boilingAndCondensingOf,
    fields: [
      refrigerant(ALL),
      gauge('gaugePressure', say.calculators.gaugePressure, { required: false }),
      quantity('absolute-pressure', ['MPa', 'bar', 'kPa', 'psi'], {
        name: 'absolutePressure',
        label: say.calculators.orAbsolutePressure,
        required: false,
      }),
      degrees('temperature', say.calculators.orTemperature, { required: false }),
      height(),
    ],
    cautions: [],
    formula: say.calculators.ourOwnFitsTo,
  },
  flare: {
    title: say.calculators.flare,
    lead: say.calculators.howWideAFlare,
    fields: [
      size('tubeOd', say.calculators.tubeOuterDiameter, { hint: say.calculators.n635952 }),
      {
        ask: 'choice',
        name: 'flareClass',
        label: say.calculators.madeFor,
        options: [
          { value: 'class-2', label: say.calculators.r410aR32 },
          { value: 'class-1', label: say.calculators.r22R134a },
        ],
        value: 'class-2',
        required: true,
      },
      {
        ask: 'choice',
        name: 'tool',
        label: say.calculators.tool,
        options: [
          { value: 'clutch-made-for-class-2', label: say.calculators.clutchMadeForR },
          { value: 'clutch', label: say.calculators.clutchOlder },
          { value: 'wing', label: say.calculators.wingNut },
        ],
        choose: say.calculators.notAsked,
        required: false,
      },
      size('outerDiameter', say.calculators.measuredAcrossTheFlare, { required: false }),
      size('projection', say.calculators.tubeAboveTheDie, { required: false }),
      size('nutAcrossFlats', say.calculators.nutAcrossFlats, { required: false }),
      size('tubeWall', say.calculators.wallOfTheTube, { required: false }),
      gauge('gaugePressure', say.calculators.highestPressureItWill, { required: false }),
    ],
    cautions: [
      {
        harm: 'pressure',
        text: say.calculators.thinTubeOrA,
      },
    ],
    formula: say.calculators.bandsByTubeSize,
  },
  'fill-pressure': {
    title: say.calculators.fillPressure,
    lead: say.calculators.howHighToFill,
    fields: [
      gauge('limit', say.calculators.limitOfTheWeakest),
      degrees('temperature', say.calculators.temperatureNow),
      degrees('warmest', say.calculators.warmestToCome),
      gauge('filled', say.calculators.filledTo, { hint: say.calculators.toSeeWhatIt, required: false }),
      gauge('gaugeError', say.calculators.theGaugesError, {
        hint: say.calculators.empty30KpaA,
        required: false,
      }),
      height(),
    ],
    cautions: [underPressure(), theNitrogen()],
    formula: say.calculators.fillLimitGaugeError,
  },
  'leak-rate': {
    title: say.calculators.leakRate,
    lead: say.calculators.oneLeakInPa,
    fields: [
      {
        ask: 'quantity',
        quantity: 'leak',
        name: 'leak',
        label: say.calculators.leak,
        units: [
          { value: 'Pa.m3/s', label: 'Pa·m³/s' },
          { value: 'mbar.L/s', label: 'mbar·L/s' },
          { value: 'g/yr', label: 'g/year' },
        ],
        unit: 'Pa.m3/s',
        hint: say.calculators.smallFiguresAs1,
        required: true,
      },
      {
        ask: 'choice',
        name: 'gas',
        label: say.calculators.ofWhichGas,
        options: [...ALL, 'nitrogen', 'helium', 'air'].map((value) => ({ value, label: coded(value) })),
        value: 'R-32',
        required: true,
      },
      degrees('temperature', say.calculators.temperature, {
        hint: say.calculators.empty20C,
        required: false,
      }),
      gauge('testPressure', say.calculators.nitrogenInTheLines, {
        hint: say.calculators.toSeeWhatBubbles,
        required: false,
      }),
    ],
    cautions: [],
    formula: say.calculators.gramsAYearThroughput,
  },
  'tube-volume': {
    title: say.calculators.tubeVolume,
    lead: say.calculators.whatALiquidAnd,
    fields: [
      size('liquidOd', say.calculators.liquidLineOuterDiameter),
      size('gasOd', say.calculators.gasLineOuterDiameter, { required: false }),
      size('tubeWall', say.calculators.wall, {
        hint: say.calculators.emptyTheThinnestAnnealed,
        required: false,
      }),
      run('length', say.calculators.length),
    ],
    cautions: [],
    formula: say.calculators.volume4OuterDiameter,
  },
  'running-check': {
    title: say.calculators.runningCheck,
    lead: say.calculators.subcoolingSuperheatAndTemperature,
    fields: [
      refrigerant(ALL),
      gauge('liquidLinePressure', say.calculators.liquidLineGaugePressure, { required: false }),
      degrees('liquidLineTemperature', say.calculators.liquidLineTemperature, { required: false }),
      difference('subcoolingTarget', say.calculators.subcoolingAskedFor, {
        hint: say.calculators.fromTheMaker3,
        required: false,
      }),
      gauge('suctionPressure', say.calculators.suctionLineGaugePressure, { required: false }),
      degrees('suctionTemperature', say.calculators.suctionLineTemperature, { required: false }),
      difference('superheatTarget', say.calculators.superheatAskedFor, {
        hint: say.calculators.fromTheMaker5,
        required: false,
      }),
      degrees('returnAir', say.calculators.airIntoTheIndoor, { required: false }),
      degrees('supplyAir', say.calculators.airOutOfIt, { required: false }),
      {
        ask: 'choice',
        name: 'mode',
        label: say.calculators.runningIn,
        options: [
          { value: 'cooling', label: say.calculators.cooling },
          { value: 'heating', label: say.calculators.heating },
        ],
        value: 'cooling',
        required: true,
      },
      height(),
    ],
    cautions: [
      {
        harm: 'electricity',
        text: say.calculators.inverterCapacitorsStayCharged,
      },
    ],
    formula: say.calculators.subcoolingBubbleTemperatureAt,
  },
  units: {
    title: say.calculators.units,
    lead: say.calculators.aQuantityAsYou,
    fields: [
      {
        ask: 'choice',
        name: 'kind',
        label: say.calculators.whatItIs,
        options: [
          { value: 'torque', label: say.calculators.torque },
          { value: 'gauge-pressure', label: say.calculators.gaugePressure },
          { value: 'absolute-pressure', label: say.calculators.absolutePressureVacuum },
          { value: 'temperature', label: say.calculators.temperature },
          { value: 'temperature-difference', label: say.calculators.differenceOfTemperatures },
          { value: 'length', label: say.calculators.lengthDiameter },
          { value: 'mass', label: say.calculators.mass },
          { value: 'mass-per-length', label: say.calculators.massForALength },
          { value: 'volume', label: say.calculators.volume },
          { value: 'area', label: say.calculators.area },
          { value: 'time', label: say.calculators.time },
        ],
        value: 'torque',
        required: true,
      },
      {
        ask: 'text',
        name: 'written',
        label: say.calculators.numberAndUnit,
        hint: say.calculators.asYouWouldWrite,
        required: true,
      },
    ],
    cautions: [],
    formula: say.calculators.exactFactorsByDefinition,
  },
  'callback-rate': {
    title: say.calculators.callbackRate,
    lead: say.calculators.howManyLeaksIn,
    fields: [
      { ask: 'number', name: 'events', label: say.calculators.leaksCounted, required: true },
      {
        ask: 'number',
        name: 'jointYears',
        label: say.calculators.jointYearsWatched,
        hint: say.calculators.jointsTimesTheYears,
        required: true,
      },
      {
        ask: 'number',
        name: 'companyRate',
        label: say.calculators.theCompanysIn1,
        hint: say.calculators.toCompareWith,
        required: false,
      },
    ],
    cautions: [],
    formula: say.calculators.rate1000LeaksJoint,
  },
})

/** As they stand on the list. */
export const theGroups = (): readonly { title: string; paths: readonly CalculatorPath[] }[] => [
  { title: say.calculators.joints, paths: ['torque-setting', 'flare'] },
  {
    title: say.calculators.pressureAndVacuum,
    paths: ['pressure-hold', 'fill-pressure', 'hold-time', 'leak-rate', 'vacuum-decay', 'tube-volume'],
  },
  { title: say.calculators.refrigerant, paths: ['charge', 'room-area', 'saturation', 'running-check'] },
  { title: say.calculators.figures, paths: ['units', 'callback-rate'] },
]
