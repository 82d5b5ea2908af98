// One single-zone heat pump from cut tube to certificate, told once, for whichever hands carry it out.

import { HOUR, MINUTE } from '../support/cast.ts'
import { SHEET } from '../support/setups.ts'

export const PASSWORD = 'a long enough password'
export const OWNER = {
  name: 'Saltmarsh Heat & Cool',
  ownerName: 'Ottilie Marsh',
  email: 'ottilie@saltmarsh.example',
}
export const MANAGER = { name: 'Marek Tide', email: 'marek@saltmarsh.example', role: 'manager' }
export const TECHNICIAN = { name: 'Ines Reed', email: 'ines@saltmarsh.example', role: 'technician' }

export const SITE = { customerName: 'Ida Fenwick', address: '14 Lantern Row, Brackwater' }

/** Only what the page's form asks for, too; torque and flare figures as the demo sheet has them. */
export { SHEET }

export const SYSTEM = {
  name: 'Living room',
  refrigerant: 'R-32',
  outdoorModel: 'LS-35 outdoor',
  outdoorSerial: 'OUT-77',
}

export const LINE_SET = {
  name: 'Living room',
  indoorModel: 'LS-35 indoor',
  indoorSerial: 'IN-77',
  liquidOd: { value: 0.25, unit: 'in' },
  gasOd: { value: 0.375, unit: 'in' },
  length: { value: 6.4, unit: 'm' },
  rise: { value: 2, unit: 'm' },
  tubing: 'new',
  jointKind: 'flare',
  roomFloorArea: { value: 22, unit: 'm2' },
  mounting: 'wall',
}

/** The torque that each joint gets, in the unit that the wrench shows. */
export const TORQUES = {
  'outdoor-liquid': { value: 16, unit: 'N.m' },
  'outdoor-gas': { value: 28, unit: 'ft.lbf' },
  'indoor-liquid': { value: 16.2, unit: 'N.m' },
  'indoor-gas': { value: 38.4, unit: 'N.m' },
} as const

export const INSTRUMENTS = [
  { key: 'torqueWrench', kind: 'torque-wrench', name: 'Wrench 7', serial: 'TW-7', accuracyPercent: 4 },
  { key: 'pressureGauge', kind: 'pressure-gauge', name: 'Gauge 3', serial: 'PG-3', accuracyPercent: 0.5 },
  { key: 'thermometer', kind: 'thermometer', name: 'Thermometer 2', serial: 'TH-2' },
  { key: 'vacuumGauge', kind: 'vacuum-gauge', name: 'Vacuum gauge 1', serial: 'VG-1', accuracyPercent: 5 },
  { key: 'scale', kind: 'scale', name: 'Scale 1', serial: 'SC-1' },
  { key: 'flaringTool', kind: 'flaring-tool', name: 'Flaring tool 4', serial: 'FT-4' },
  { key: 'leakDetector', kind: 'leak-detector', name: 'Detector 2', serial: 'LD-2' },
] as const
export type InstrumentKey = (typeof INSTRUMENTS)[number]['key']

/** The steps of one flare joint; ids of instruments are put in by who carries it out. */
export const stepsOfJoint = (
  torque: { value: number; unit: string },
  ids: Record<InstrumentKey, string>,
  indoors: boolean,
) =>
  [
    ['preparation', { allAsListed: true }],
    ['flare', { instrumentId: ids.flaringTool, method: 'powered', depthStopUsed: true }],
    ['inspection', { allAsListed: true, diameterCheck: 'gauge-pass', outcome: 'accepted' }],
    ['assembly', { allAsListed: true, lubricated: 'face' }],
    ['torque', { indication: 'read', reading: torque, instrumentId: ids.torqueWrench }],
    [
      'leak-check',
      indoors
        ? {
            method: 'tracer-hydrogen',
            medium: 'tracer-mix',
            instrumentId: ids.leakDetector,
            gaugePressure: { value: 2, unit: 'MPa' },
            sensitivity: { value: 3, unit: 'g/yr' },
            sensitivitySource: 'instrument',
            checkedOnTrialLeak: true,
            result: 'none-found',
          }
        : {
            method: 'bubble',
            medium: 'nitrogen',
            gaugePressure: { value: 4.15, unit: 'MPa' },
            result: 'none-found',
          },
    ],
  ] as const

/** Nitrogen for an hour at a steady temperature: begins 80 minutes before `now`. */
export const pressureReadings = (now: number) =>
  [
    { minutes: -75, stage: 'raise', gaugePressure: 1.5, temperature: 20 },
    { minutes: -62, stage: 'hold', gaugePressure: 4.16, temperature: 20 },
    { minutes: -1, stage: 'hold', gaugePressure: 4.16, temperature: 20 },
  ].map(({ minutes, stage, gaugePressure, temperature }) => ({
    at: new Date(now + minutes * MINUTE).toISOString(),
    stage,
    gaugePressure: { value: gaugePressure, unit: 'MPa' },
    temperature: { value: temperature, unit: 'degC' },
  }))

/** A decay that flattens at about 620 micron, read for twenty minutes. */
export const vacuumReadings = (now: number) => {
  const read = (minutes: number, phase: string, microns: number) => ({
    at: new Date(now + minutes * MINUTE).toISOString(),
    phase,
    absolutePressure: { value: microns, unit: 'micron' },
  })
  const decay = [0, 2, 4, 6, 8, 10, 12, 14, 16, 18, 20].map((minute) =>
    read(minute - 21, 'decay', Math.round(310 + 310 * (1 - Math.exp(-minute / 4)))),
  )
  return [read(-40, 'pull', 4000), read(-25, 'pull', 320), ...decay]
}

export const CHARGE = { direction: 'factory-released' }
export const RUNNING = {
  mode: 'cooling',
  steadyMinutes: 20,
  supplyAir: { value: 13, unit: 'degC' },
  returnAir: { value: 24, unit: 'degC' },
  ambient: { value: 28, unit: 'degC' },
}

/** How long each part takes, so that the order of the work shows. */
export const TAKES = { joint: 10 * MINUTE, pressure: 90 * MINUTE, evacuation: HOUR, rest: 30 * MINUTE }

/** Ports and caps, closed and checked with the detector after the charge. */
export const CLOSING_CHECK = { method: 'refrigerant-detector', medium: 'refrigerant', result: 'none-found' }
