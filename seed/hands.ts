// Who does the work, at what time, in which units, and by what chance? What every builder here is handed.

import type { z } from 'zod'
import type { Actor } from '../server/access/actor.ts'
import { type Command, type Machinery, runCommand } from '../server/commands/command.ts'
import {
  fromKelvins,
  fromKilograms,
  fromMetres,
  fromNewtonMetres,
  fromPascals,
  type LengthUnit,
  type MassUnit,
  type PressureUnit,
  type TemperatureUnit,
  type TorqueUnit,
} from '../server/trade/units.ts'
import type { Random } from './random.ts'

export const SECOND = 1000
export const MINUTE = 60 * SECOND
export const HOUR = 60 * MINUTE
export const DAY = 24 * HOUR

/** A clock that stands still until it is told otherwise. */
export interface SetClock {
  now: number
  pass(milliseconds: number): void
}

export const clockAt = (now: number): SetClock => ({
  now,
  pass(milliseconds) {
    this.now += milliseconds
  },
})

/** How a company types its figures. */
export interface Typing {
  torque: TorqueUnit
  pressure: PressureUnit
  vacuum: PressureUnit
  temperature: TemperatureUnit
  length: LengthUnit
  mass: MassUnit
}

export const METRIC: Typing = {
  torque: 'N.m',
  pressure: 'MPa',
  vacuum: 'micron',
  temperature: 'degC',
  length: 'm',
  mass: 'g',
}

export const US_CUSTOMARY: Typing = {
  torque: 'ft.lbf',
  pressure: 'psi',
  vacuum: 'micron',
  temperature: 'degF',
  length: 'ft',
  mass: 'oz',
}

export interface Hands {
  /** Runs a command as somebody, at the time that the clock shows. */
  run<Schema extends z.ZodType, Result>(
    actor: Actor,
    command: Command<Schema, Result>,
    raw: z.input<Schema>,
  ): Promise<Result>
  clock: SetClock
  random: Random
  by: Actor
  typing: Typing
}

export const runnerOf =
  (machinery: Machinery): Hands['run'] =>
  async (actor, command, raw) =>
    (await runCommand(machinery, command, raw, { actor })).result

export const iso = (at: number): string => new Date(at).toISOString()

/** As far as a display shows it. */
export const shown = (value: number, step: number): number =>
  Number((Math.round(value / step) * step).toFixed(6))

const STEPS: Partial<Record<string, number>> = {
  'N.m': 0.1,
  'ft.lbf': 0.1,
  MPa: 0.001,
  psi: 0.1,
  micron: 1,
  degC: 0.1,
  degF: 0.1,
  m: 0.1,
  ft: 0.5,
  g: 5,
  oz: 0.1,
  kg: 0.005,
  lb: 0.01,
}

const typed = <Unit extends string>(value: number, unit: Unit) => ({
  value: shown(value, STEPS[unit] ?? 0.001),
  unit,
})

/** A figure as these hands type it: off a display, in their own unit. */
export const typeTorque = ({ typing }: Hands, torqueNm: number) =>
  typed(fromNewtonMetres(torqueNm, typing.torque), typing.torque)
export const typePressure = ({ typing }: Hands, pressurePa: number) =>
  typed(fromPascals(pressurePa, typing.pressure), typing.pressure)
export const typeVacuum = ({ typing }: Hands, pressurePa: number) =>
  typed(fromPascals(pressurePa, typing.vacuum), typing.vacuum)
export const typeTemperature = ({ typing }: Hands, temperatureK: number) =>
  typed(fromKelvins(temperatureK, typing.temperature), typing.temperature)
export const typeLength = ({ typing }: Hands, lengthM: number) =>
  typed(fromMetres(lengthM, typing.length), typing.length)
export const typeMass = ({ typing }: Hands, massKg: number) =>
  typed(fromKilograms(massKg, typing.mass), typing.mass)
