// What is said, in Spanish, of what other criteria would change?

import type { policyPreview as english } from '../en/policy-preview.ts'
import { type Part, phrase } from '../phrase.ts'

const jobs = (count: number) => (count === 1 ? '1 trabajo' : `${count} trabajos`)

export const policyPreview: typeof english = {
  wholeDays: 'Indique un número entero.',
  from1To3650: 'Use de 1 a 3650 días.',
  seeWhatWouldChange: 'Ver qué cambiaría',
  whatItDoes:
    'Antes de fijarlos se puede ver qué habrían dicho de los trabajos de los últimos 90 días. De eso no se guarda nada.',
  whatWouldChange: 'Qué cambiaría',
  ofTheJobs: (total: number, changed: number, since: Part) =>
    total === 0
      ? phrase`Desde el ${since} no se entregó ni se firmó ningún trabajo: no hay nada que comparar.`
      : phrase`De ${jobs(total)} entregados o firmados desde el ${since}, ${changed === 0 ? 'ninguno' : String(changed)} se habría juzgado de otro modo.`,
  ofTheseJobs: (first: number, last: number, total: number, changed: number, since: Part) =>
    phrase`De ${jobs(total)} entregados o firmados desde el ${since}, los más nuevos primero, se juzgaron los números ${String(first)} a ${String(last)}; de otro modo, ${changed === 0 ? 'ninguno' : String(changed)}.`,
  wouldBeHeld: (count: number) =>
    count === 0
      ? 'Ningún trabajo más habría quedado retenido.'
      : `Habrían quedado retenidos ${jobs(count)} más.`,
  wouldBeReleased: (count: number) =>
    count === 0
      ? 'De los retenidos no habría pasado ninguno.'
      : `De los retenidos habrían pasado ${jobs(count)}.`,
  howItIsJudged:
    'Cada trabajo se juzga dos veces para el momento de su última firma o entrega, con todo lo que hoy se sabe de él: con los criterios vigentes y con estos. Lo firmado queda como se firmó.',
  requirement: 'Requisito',
  moreHeld: 'Quedarían retenidos',
  moreReleased: 'Pasarían',
  otherwise: 'Cambian de otro modo',
  changes: (count: number) => (count === 1 ? 'cambia 1 constatación' : `cambian ${count} constataciones`),
  wouldWait: 'habría quedado retenido',
  wouldPass: 'habría pasado',
  nowThen: (before: string, after: string) => `Ahora: ${before}. Con estos criterios: ${after}`,
  openTheJob: 'Abrir el trabajo',
  judgeTheNext: (left: number) => `Juzgar los siguientes de los ${left} que faltan`,
}
