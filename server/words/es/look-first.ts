// What is said of the joints to look at first when a system came back?

import { type Part, phrase } from '../phrase.ts'

export const lookFirst = {
  title: 'Mire primero aquí',
  lead: 'Según lo que el registro tiene contra cada unión; quién la hizo no es motivo. Es por dónde empezar, no un hallazgo.',
  points: (points: number) => `${points} puntos`,
  howItIsRanked: 'Cómo se ordena',
  howInShort:
    'Cada motivo tiene sus puntos, y se suman. Los puntos son nuestros, sin fuente; la página sobre historiales de los documentos los enumera.',
  nothingAgainst: (tags: Part) => phrase`No hay nada contra ${tags}. Aun así pueden fugar.`,
  nothingAtAll:
    'No hay nada contra ninguna unión de este sistema: vaya con el detector, desde la unidad más difícil de alcanzar.',
  noJoints: 'No hay uniones anotadas de este sistema.',
  others: (count: number) =>
    count === 1 ? 'Una más con menos en contra' : `${count} más con menos en contra`,
  history: 'Historial',
  leakFoundOpen: 'Se halló una fuga en ella, y desde entonces no se le hizo nada.',
  leakedBefore: (count: number) =>
    count === 1
      ? 'Ya fugó: la halló una reclamación anterior.'
      : `Ya fugó: la hallaron ${count} reclamaciones anteriores.`,
  torqueBelow: (applied: string, range: string) =>
    `Su tuerca se apretó a ${applied}, por debajo de ${range}.`,
  torqueAbove: (applied: string, range: string) =>
    `Su tuerca se apretó a ${applied}, por encima de ${range}.`,
  torqueNotProven: (applied: string, range: string) =>
    `Su tuerca se apretó a ${applied}, dentro de ${range} pero no con la exactitud de la llave.`,
  torqueNearLow: (applied: string, range: string) =>
    `Su tuerca se apretó a ${applied}, cerca del límite inferior de ${range}.`,
  torqueNearHigh: (applied: string, range: string) =>
    `Su tuerca se apretó a ${applied}, cerca del límite superior de ${range}.`,
  torqueNotKnown: 'No se midió con qué par se apretó su tuerca.',
  torqueOffFails: (wrench: string, real: string | null) =>
    `${wrench} se halló después desviada${real === null ? '' : `: aplicó en realidad ${real}`}, fuera del margen.`,
  torqueOffDoubtful: (wrench: string, real: string | null) =>
    `${wrench} se halló después desviada${real === null ? '' : `: aplicó en realidad ${real}`}, quizá fuera del margen.`,
  instrumentOff: (kind: string, name: string) =>
    `Se hizo con ${name} (${kind}), hallado fuera de tolerancia.`,
  neverLeakChecked: 'Nunca se comprobó por sí sola si fugaba.',
  leakCheckStale: (reason: string) => `Su comprobación de fugas ya no cuenta. ${reason}`,
  leakCheckWeak: (seen: string | null) =>
    seen === null
      ? 'No se sabe qué habría podido ver su comprobación de fugas.'
      : `Su comprobación ve fugas desde ${seen}, que es menos fina de lo que se pide.`,
  noTest: 'No la cubre ninguna prueba de presión ni evacuación que aún cuente.',
  blindTests: (seen: string, minutes: number) =>
    `La mejor prueba que la cubre, mantenida ${minutes} minutos, no habría visto una fuga por debajo de ${seen}.`,
  conceded: (requirement: string) => `Concedido: ${requirement}`,
  remade: (times: number) => (times === 1 ? 'Se rehízo una vez.' : `Se rehízo ${times} veces.`),
  corrected: (count: number) =>
    count === 1 ? 'Se corrigió una anotación suya.' : `Se corrigieron ${count} anotaciones suyas.`,
  groupFlagged: (dimension: string, group: string, events: number, expected: string) =>
    `Las uniones iguales por ${dimension} (${group}) vuelven más de lo que explica el azar: ${events} fugas donde se esperaban ${expected}.`,
  notMade: 'No hay ninguna ejecución suya anotada.',
  leftOut: (reason: string) => `Quedó fuera del trabajo: ${reason}`,
  notOurs: 'Ya estaba: quién la hizo, y cómo, no está anotado.',
  dimensions: {
    position: 'lugar',
    tubeOd: 'medida',
    kind: 'tipo',
    flareMethod: 'modo de abocardar',
    flaringTool: 'abocardador',
    wrench: 'llave',
    model: 'modelo',
    refrigerant: 'refrigerante',
  },
}
